package dsp

import (
	"cmp"
	"math"
	"slices"
)

const (
	besideGrid  = 0.1   // semitones between the pitches looked at
	besideSteps = 4     // of the spectrum, in one resolution of the stretch, 1/T Hz
	besideClear = 2     // resolutions from a partial beyond which a Hann window leaves nothing of it
	besideNear  = 4     // resolutions from a partial within which nothing else is looked for …
	besideApart = 0.047 // … and of its frequency, 0.8 semitones
	besideTried = 3     // pitches, of those looked at, that are asked
	besideFew   = 6     // partials of one pitch at most that are looked at
	besideFloor = 1e-6  // of the power: less is the last digits
)

// Beside looks for one more pitch (MIDI numbers) than those given, which explains best
// what they leave of the sound between two moments, s: among all between low and high
// that are no partial of theirs, nor they of it. gain is by how much the cost falls with it;
// above 0 the stretch is better explained with it than without. Unlike that of Explained
// this cost is of the power as a whole: what sounds along is as loud as its player, and a
// string that answers softly, in an octave where little else sounds, is none. gain is NaN
// where the sound was not kept, or the stretch is too short.
func (h *Heard) Beside(from, to, low, high float64, pitches ...float64) (pitch, gain float64) {
	s := h.Stretch(from, to)
	alone, left := s.fitted(pitches)
	if alone == nil {
		return 0, left
	}
	without := alone.asAWhole(left)
	spectrum, unit := alone.spectrum()
	floor := slices.Sorted(slices.Values(spectrum))[len(spectrum)/2]
	type candidate struct{ pitch, power float64 }
	var all []candidate
	for p := low; p <= high; p += besideGrid {
		if slices.ContainsFunc(pitches, func(known float64) bool { return related(Hz(p), Hz(known), besideNear/(to-from)) }) {
			continue
		}
		step := 2 * math.Pi * Hz(p) / s.rate
		power := 0.0
		for k := 1; k <= besideFew; k++ {
			at := int(math.Round(float64(k) * step / unit))
			if at >= len(spectrum) {
				break
			}
			power += math.Max(0, spectrum[at]-floor)
		}
		all = append(all, candidate{p, power})
	}
	slices.SortFunc(all, func(a, b candidate) int { return cmp.Compare(b.power, a.power) })
	gain = math.Inf(-1)
	var tried []float64
	for _, c := range all {
		if len(tried) == besideTried {
			break
		}
		if slices.ContainsFunc(tried, func(p float64) bool { return math.Abs(p-c.pitch) < 0.5 }) {
			continue
		}
		tried = append(tried, c.pitch)
		if both, left := s.fitted(append(slices.Clone(pitches), c.pitch)); both != nil && without-both.asAWhole(left) > gain {
			pitch, gain = c.pitch, without-both.asAWhole(left)
		}
	}
	return pitch, gain
}

// asAWhole is the cost of partials that leave such a share of the power, whatever the octave.
func (j *joint) asAWhole(left float64) float64 {
	return float64(len(j.bins)-1)*math.Log(left+besideFloor) + j.complexity()
}

// related reports whether one of two pitches, Hz, is a partial of the other, or so near one
// that the other's swelling and shaking would be taken for it.
func related(a, b, near float64) bool {
	low, high := math.Min(a, b), math.Max(a, b)
	n := math.Round(high / low)
	return n <= besideFew && math.Abs(high-n*low) < math.Max(near, besideApart*high)
}

// spectrum is the power of the windowed sound at every unit of phase a sample, up to the
// top; 0 beside the partials.
func (j *joint) spectrum() (power []float64, unit float64) {
	resolution := j.turn()
	unit = resolution / besideSteps
	power = make([]float64, int(2*math.Pi*j.top/j.rate/unit))
bins:
	for i := range power {
		at := float64(i) * unit
		if at < besideClear*resolution {
			continue
		}
		for _, s := range j.steps {
			if math.Abs(s-at) < besideClear*resolution {
				continue bins
			}
		}
		c, s := j.project(at)
		power[i] = c*c + s*s
	}
	return power, unit
}
