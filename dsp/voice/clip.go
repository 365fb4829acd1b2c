package voice

import "math"

// Clip is a sound with an end. It is a player for package sound, as is Loop.
type Clip []float32

// Play adds the samples from a position on to buf, and is false where none are
// left after them.
func (c Clip) Play(buf []float32, from int64) bool {
	if from >= int64(len(c)) {
		return false
	}
	for i, v := range c[from:min(int64(len(c)), from+int64(len(buf)))] {
		buf[i] += v
	}
	return from+int64(len(buf)) < int64(len(c))
}

// Loop is a sound that goes round without an end, faded in at its first time.
type Loop struct {
	round  Clip
	fadeIn int
}

// Play adds the samples from a position on to buf. There are always more.
func (l Loop) Play(buf []float32, from int64) bool {
	n := int64(len(l.round))
	for i := range buf {
		at := from + int64(i)
		v := l.round[at%n]
		if at < int64(l.fadeIn) {
			v *= float32(raised(float64(at) / float64(l.fadeIn)))
		}
		buf[i] += v
	}
	return true
}

// raised goes from 0 to 1 and has no corner at either end.
func raised(u float64) float64 {
	return (1 - math.Cos(math.Pi*math.Max(0, math.Min(1, u)))) / 2
}
