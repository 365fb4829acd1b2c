package dsp

import "math"

// Set by ear on sampled and recorded basses; no source.
const (
	heardUnder  = 20.0  // dB below its loudest at which a note is heard: a tenth of the amplitude
	lowBefore   = 7     // frames before an onset was found, from which …
	lowAfter    = 3     // … to which after it the lowest level is sought
	endLeft     = 3     // frames before the next note that say nothing of this one's loudest
	plainAttack = 3.0   // dB of rise a band in one frame: a plain attack
	peakBefore  = 3     // frames before an onset was found in which its attack may peak
	attackFoot  = 0.25  // of its peak at which an attack begins
	levelRises  = 3.0   // dB above its lowest at which a level has turned: what begins is as loud there as what dies away
	phaseBroken = 0.12  // aperiodicity at which the old sound has given way
	levelDelay  = 0.006 // s by which the level, taken over 25 ms, runs ahead of the sound
	dipLead     = 0.025 // s before the deepest point that a new sound may begin
)

// onsetTime places the beginning found at frame i, whose note lasts until next.
// A note begins when it is heard: where its level comes within 20 dB of its
// loudest (a tenth of the amplitude). Where an old sound hides that, a sharp
// attack is placed by its rise, and a soft one by where periodicity breaks.
func (o *onsets) onsetTime(i, next int) float64 {
	n := len(o.frames)
	from, to := max(1, i-lowBefore), min(n-1, i+lowAfter)
	low := from
	for k := from; k <= to; k++ {
		if o.levels[k] < o.levels[low] {
			low = k
		}
	}
	heard := math.Inf(-1)
	if high := o.loudest(low, next-endLeft); high-heardUnder > o.levels[low] {
		for k := max(1, low); k < min(n, next); k++ {
			if l, prev := o.frames[k].Level, o.frames[k-1].Level; l > high-heardUnder {
				u := 1.0
				if l > prev {
					u = math.Min(1, math.Max(0, (high-heardUnder-prev)/(l-prev)))
				}
				heard = o.frames[k-1].Time + u*o.hop + levelDelay
				break
			}
		}
	}
	if at, peak := o.fluxPeak(i); peak > plainAttack {
		for at > from && o.flux[at-1] > attackFoot*peak {
			at--
		}
		for at > low+1 && o.levels[at-1] > o.levels[low]+levelRises && o.levels[at-1] < o.levels[at] {
			at-- // the upper partials of a bowed note come in after the lower
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
	for k := max(0, i-peakBefore); k < min(len(o.flux), i+attackFrames); k++ {
		if o.flux[k] > rise {
			rise, at = o.flux[k], k
		}
	}
	return at, rise
}

const (
	glideBefore = 10 // frames before, from which …
	glideTo     = 2  // … to which the old pitch stands, and after, …
	glideFrom   = 5  // … from which …
	glideAfter  = 15 // … to which the new one does
	glideEarly  = 5  // frames before, from which …
	glideLate   = 14 // … to which after the onset found the pitch may pass half way
)

// glideMidpoint is when the pitch passes half way from one note to the next under
// one bow, about frame i.
func (o *onsets) glideMidpoint(i int) float64 {
	before, ok1 := o.steadyPitch(i-glideBefore, i-glideTo)
	after, ok2 := o.steadyPitch(i+glideFrom, i+glideAfter)
	if !ok1 || !ok2 {
		return o.frames[i].Time
	}
	half := math.Log2(before*after) / 2
	rise := after > before
	for k := max(1, i-glideEarly); k < min(len(o.frames), i+glideLate); k++ {
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
