package dsp

import (
	"math"
)

// onsetTime places the beginning found at frame i, whose note lasts until next.
// A note begins when it is heard: where its level comes within 20 dB of its
// loudest (a tenth of the amplitude). Where an old sound hides that, a sharp
// attack is placed by its rise, and a soft one by where periodicity breaks.
func (o *onsets) onsetTime(i, next int) float64 {
	n := len(o.frames)
	from, to := max(1, i-7), min(n-1, i+3)
	low := from
	for k := from; k <= to; k++ {
		if o.levels[k] < o.levels[low] {
			low = k
		}
	}
	heard := math.Inf(-1)
	if high := o.loudest(low, next-3); high-20 > o.levels[low] {
		for k := max(1, low); k < min(n, next); k++ {
			if l, prev := o.frames[k].Level, o.frames[k-1].Level; l > high-20 {
				u := 1.0
				if l > prev {
					u = math.Min(1, math.Max(0, (high-20-prev)/(l-prev)))
				}
				heard = o.frames[k-1].Time + u*o.hop + levelDelay
				break
			}
		}
	}
	if at, peak := o.fluxPeak(i); peak > plainAttack {
		for at > from && o.flux[at-1] > 0.25*peak {
			at--
		}
		return math.Max(heard, math.Max(o.frames[at].Time, o.frames[low].Time-dipLead))
	}
	if !math.IsInf(heard, -1) {
		return heard
	}
	for k := from; k <= to; k++ {
		a, b := o.frames[k-1].Aperiodicity, o.frames[k].Aperiodicity
		if b > phaseBroken && a <= phaseBroken {
			return math.Max(o.frames[k-1].Time+(phaseBroken-a)/(b-a)*o.hop, o.frames[low].Time-dipLead)
		}
	}
	return o.frames[low].Time - dipLead/2
}

// fluxPeak finds the greatest rise about a frame.
func (o *onsets) fluxPeak(i int) (at int, rise float64) {
	for k := max(0, i-3); k < min(len(o.flux), i+attackFrames); k++ {
		if o.flux[k] > rise {
			rise, at = o.flux[k], k
		}
	}
	return at, rise
}

// glideMidpoint is when the pitch passes half way from one note to the next under
// one bow, about frame i.
func (o *onsets) glideMidpoint(i int) float64 {
	before, ok1 := o.steadyPitch(i-10, i-2)
	after, ok2 := o.steadyPitch(i+5, i+15)
	if !ok1 || !ok2 {
		return o.frames[i].Time
	}
	half := math.Log2(before*after) / 2
	rise := after > before
	for k := max(1, i-5); k < min(len(o.frames), i+14); k++ {
		a, b := o.frames[k-1], o.frames[k]
		if !a.Voiced || !b.Voiced {
			continue
		}
		pa, pb := math.Log2(a.Freq), math.Log2(b.Freq)
		if pa < half == rise && pb >= half == rise {
			return a.Time + (half-pa)/(pb-pa)*o.hop
		}
	}
	return o.frames[i].Time
}

const (
	plainAttack = 3.0   // dB of rise a band in one frame: a plain attack
	phaseBroken = 0.12  // aperiodicity at which the old sound has given way
	levelDelay  = 0.006 // s by which the level, taken over 25 ms, runs ahead of the sound
	dipLead     = 0.025 // s before the deepest point that a new sound may begin
)
