package rig

import "math"

// Frequency measures the fundamental of a stretch of samples (Rate) in Hz, near
// a frequency known to within a third of a tone: the slope of the phase of the
// strongest of the first four partials, heard through windows of six periods.
// It is independent of any pitch tracker. NaN for a stretch that is too short.
func Frequency(samples []float32, from, to, near float64) float64 {
	best, strongest := math.NaN(), 0.0
	for partial := 1; partial <= 4; partial++ {
		if hz, strength := partialFrequency(samples, from, to, near, partial); strength > strongest {
			best, strongest = hz, strength
		}
	}
	return best
}

// partialFrequency gives a partial's frequency over its number, and its strength.
func partialFrequency(samples []float32, from, to, near float64, partial int) (hz, strength float64) {
	turning := 2 * math.Pi * near * float64(partial) / Rate
	window, step := int(6/near*Rate), max(1, int(Rate/near/2))
	var first, last, time float64
	count := 0
	for at := max(0, int(from*Rate)); at+window <= min(int(to*Rate), len(samples)); at += step {
		var re, im float64
		for i := range window {
			w := 0.5 - 0.5*math.Cos(2*math.Pi*(float64(i)+0.5)/float64(window))
			angle := turning * float64(at+i)
			re += w * float64(samples[at+i]) * math.Cos(angle)
			im -= w * float64(samples[at+i]) * math.Sin(angle)
		}
		phase := math.Atan2(im, re)
		if count > 0 {
			phase = last + math.Remainder(phase-last, 2*math.Pi)
			time += float64(step) / Rate
		} else {
			first = phase
		}
		last = phase
		strength += math.Hypot(re, im)
		count++
	}
	if count < 3 {
		return math.NaN(), 0
	}
	return near + (last-first)/(2*math.Pi*time)/float64(partial), strength / float64(count)
}
