package dsp

import (
	"math"
	"sort"
)

// A bow that sets in slowly brings up a low note in many small steps, none of which
// need be an onset, or scratches first and is heard to sound only later. But out of
// silence nothing sounds that has not begun.

// Set by ear on recorded bows that set in slowly; no source.
const (
	softSilence   = 6    // frames that nothing sounded
	softPitched   = 15   // frames that a pitch must then stand …
	softLoudness  = 15.0 // … and dB above the room that it must come to
	softRiseTime  = 0.5  // s that a bow may take to bring a note up
	softOnsetLate = 0.3  // s after it is first heard that an onset may be found in it
	softLead      = 4    // frames that it must be heard before that one
	softUnder     = 22.0 // dB below its loudest where a note is heard first: 20 as in onsetTime, and the crests of a scratch …
	softDips      = 4.0  // … and dB that the scratch of a bow falls back by as it sets in
	softGrowth    = 7.0  // dB that a note comes up by after an onset that was not its first
	roomNoise     = 8.0  // dB that the noise of the room goes up by itself
	softClear     = 0.1  // aperiodicity of a pitch that is a note's own
	quietShare    = 100  // one frame in so many is as soft as the room
)

// outOfSilence adds to the frames at which onsets were found those at which a sound
// came up out of nothing and none was found; where one was found while a note still
// swelled, it gets the frame at which that is first heard. It tells which these are.
func (o *onsets) outOfSilence(at []int) (all []int, swelled map[int]bool) {
	swelled = map[int]bool{}
	quiet := o.roomLevel()
	silent := 0
	for i := range o.levels {
		if o.levels[i] < o.floor+audibleOver {
			silent++
			continue
		}
		if silent >= softSilence {
			for len(at) > 0 && at[0] <= i-silent+softSilence {
				all, at = append(all, at[0]), at[1:]
			}
			next := len(o.levels)
			if len(at) > 0 {
				next = at[0]
			}
			k := o.firstHeard(i, silent, quiet)
			if last := len(all) - 1; last >= 0 && k <= all[last]+softLead {
				k = next // what comes up is that one, found already
			}
			swells := k < next-softLead && len(at) > 0 && o.inSwell(k, next)
			if swells || k < next-softLead && o.soundsLong(i, next) {
				all, swelled[k] = append(all, k), true
				if swells || len(at) > 0 && o.sameAttack(k, next) {
					at = at[1:]
				}
			}
		}
		silent = 0
	}
	return append(all, at...), swelled
}

// soundsLong tells whether a note sounds from frame i on, before the next onset.
func (o *onsets) soundsLong(i, next int) bool {
	n, loudest := 0, math.Inf(-1)
	for k := i; k < min(next, i+int(softRiseTime/o.hop)) && o.levels[k] >= o.floor+audibleOver; k++ {
		if f := o.frames[k]; f.Voiced && f.Aperiodicity < pitchedMost {
			n++
			loudest = math.Max(loudest, o.levels[k])
		}
	}
	return n >= softPitched && loudest >= o.floor+softLoudness
}

// inSwell tells whether the onset found at a frame lies in the swell of a note that
// came up at frame i: it is no plain attack, the note grows on after it, and no other
// pitch was clear before.
func (o *onsets) inSwell(i, at int) bool {
	if _, peak := o.fluxPeak(at); peak > plainAttack || float64(at-i)*o.hop > softOnsetLate || o.loudest(i, at-1) > o.loudest(at, at+growthFrames)-softGrowth {
		return false
	}
	after, ok := o.steadyPitch(at+stepNear, at+stepFar)
	for k := i; k < at; k++ {
		f := o.frames[k]
		if f.Voiced && f.Aperiodicity < softClear && !(ok && centsApart(after, f.Freq) < samePitch) {
			return false
		}
	}
	return true
}

// firstHeard is the frame at which a note is first heard that came up at frame i,
// after so many silent ones. Noise of the room is no scratch of a bow.
func (o *onsets) firstHeard(i, silent int, quiet float64) int {
	heard := math.Max(o.loudest(i, i+int(softRiseTime/o.hop))-softUnder, quiet+roomNoise)
	low := i
	for k := i - 1; k >= i-silent && o.levels[k] > heard-softDips; k-- {
		if o.levels[k] < o.levels[low] {
			low = k
		}
	}
	for low < len(o.levels)-1 && o.levels[low] <= heard {
		low++
	}
	return low
}

// roomLevel is the level that one frame in a hundred lies below, digital silence left out,
// dB: the room, where there is a pause.
func (o *onsets) roomLevel() float64 {
	var levels []float64
	for _, l := range o.levels {
		if l > silenceLevel {
			levels = append(levels, l)
		}
	}
	if len(levels) == 0 {
		return silenceLevel
	}
	sort.Float64s(levels)
	return levels[len(levels)/quietShare]
}
