package transcription

import (
	"endpin/piece"
	"endpin/piece/writing"
)

const (
	lifted  = 0.06 // s that a detached note may end early, one standard deviation,
	shortly = 0.08 // and that share of its written length beside (common practice, no source)
	resting = 1.2  // nats that a rest costs, and as much again where one sign does not say it
)

// lengths gives every note its written length, and so the rests: to the next note, or the
// last to the end of its measure, unless the sound ends so early that a rest is simpler.
func (w *way) lengths(sounds []Sound, line []writing.Note) {
	for i := range line {
		gap := w.metre.bar - line[i].Start%w.metre.bar
		if i < len(line)-1 {
			gap = line[i+1].Start - line[i].Start
			if line[i+1].SlurFrom {
				line[i].Length = gap
				continue
			}
		}
		line[i].Length = w.length(line[i].Start, gap, func(length piece.Ticks) float64 {
			return w.early(i, (sounds[i].Offset-sounds[i].Onset)/w.period[i], length)
		})
	}
}

// length is how long a note is written that has so much room, by what it costs that it
// sounds as it does.
func (w *way) length(from, gap piece.Ticks, sounding func(written piece.Ticks) float64) piece.Ticks {
	best, cost := gap, sounding(gap)
	for _, at := range w.metre.places() {
		for end := from/w.metre.bar*w.metre.bar + at; end < from+gap; end += w.metre.bar {
			length := end - from
			if length < piece.Quarter/4 || w.metre.dividing(end%w.metre.bar) > parts {
				continue
			}
			c := sounding(length) + w.metre.held(from, end) + resting
			if !printable(gap-length, false) {
				c += resting
			}
			if w.metre.dividing(end%w.metre.bar) != whole {
				c += resting
			}
			if c < cost {
				best, cost = length, c
			}
		}
	}
	return best
}

// early is what it costs that a note sounds for so many quarter notes and is written
// so long. That it rings beyond is half as strange.
func (w *way) early(i int, sounded float64, written piece.Ticks) float64 {
	length := written.Quarters() * w.period[i]
	off := (length - sounded*w.period[i]) / (lifted + shortly*length)
	if off < 0 {
		off /= 2
	}
	return off * off / 2
}
