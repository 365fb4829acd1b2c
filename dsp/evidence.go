package dsp

import (
	"math"
	"sort"
)

// How much of one kind of evidence is enough by itself; kinds add up. Found on
// sampled and recorded basses, bowed and plucked (common practice, no source).
const (
	enoughFluxExcess = 7.0  // dB of rise a band, summed over the attack
	enoughLevelRise  = 7.0  // dB
	enoughLevelDip   = 5.0  // dB
	enoughLevelDrop  = 12.0 // dB, beyond the first 4
	enoughPitchStep  = 60.0 // cents
	enoughPitchJolt  = 40.0 // cents
	enoughPhaseBreak = 0.2  // aperiodicity
	enoughVoicing    = 0.6  // aperiodicity
	enoughNewSound   = 2.0  // dB of rise a band: with less new sound the softer kinds count less
	attackFrames     = 5    // that an attack takes
)

// score adds up the evidence that a note begins at frame i; base is how much
// the bands rise hereabouts anyway.
func (o *onsets) score(i int, base float64) float64 {
	f := math.Min(1, o.newSound(i)/enoughNewSound)
	return o.fluxExcess(i, base)/enoughFluxExcess + math.Max(o.levelRise(i)/enoughLevelRise, f*o.levelDip(i)/enoughLevelDip) +
		o.slurStep(i)/enoughPitchStep + o.voicing(i)/enoughVoicing + f*(f*o.levelDrop(i)/enoughLevelDrop+o.pitchStep(i)/enoughPitchStep+o.phaseBreak(i)/enoughPhaseBreak+o.pitchJolt(i)/enoughPitchJolt)
}

// fluxExcess is how much more the bands rise in the frames of an attack than they
// do anyway hereabouts (bow noise, the beat of a low note's own periods).
func (o *onsets) fluxExcess(i int, base float64) float64 {
	sum := 0.0
	for k := max(0, i-1); k < min(len(o.flux), i+attackFrames); k++ {
		sum += math.Max(0, o.flux[k]-base)
	}
	return math.Max(0, sum-2)
}

// newSound is how much new sound comes in over an attack, dB of rise a band. A
// ringing string can beat and waver, but nothing new comes in.
func (o *onsets) newSound(i int) float64 {
	sum := 0.0
	for k := max(0, i-1); k < min(len(o.flux), i+7); k++ {
		sum += o.flux[k]
	}
	return sum
}

// levelRise is how far the level climbs after a frame from its lowest just before.
func (o *onsets) levelRise(i int) float64 {
	low := math.Inf(1)
	for k := max(0, i-5); k <= i; k++ {
		low = math.Min(low, o.levels[k])
	}
	return math.Max(0, o.loudest(i, i+8)-low-2)
}

// levelDip is how deep a dip between two levels a frame lies in.
func (o *onsets) levelDip(i int) float64 {
	return math.Max(0, math.Min(o.loudest(i-10, i), o.loudest(i, i+45))-o.levels[i]-1.5)
}

// levelDrop is how far the level has just fallen, where the sound does not go on
// falling: a stroke was let go and another took over softly.
func (o *onsets) levelDrop(i int) float64 {
	if o.loudest(i+4, i+14) < o.levels[i]+1 {
		return 0
	}
	return math.Min(8, math.Max(0, o.loudest(i-8, i-4)-o.levels[i]-4))
}

// phaseBreak is how far periodicity breaks at a frame and comes back: where one
// stroke ends and the next begins on the same pitch the string loses its phase.
func (o *onsets) phaseBreak(i int) float64 {
	before, after := 1.0, 1.0
	for k := max(0, i-8); k <= i-2; k++ {
		before = math.Min(before, o.frames[k].Aperiodicity)
	}
	for k := i + 2; k <= min(len(o.frames)-1, i+14); k++ {
		after = math.Min(after, o.frames[k].Aperiodicity)
	}
	return math.Max(0, math.Min(0.4, o.frames[i].Aperiodicity)-math.Max(before, after)-0.03)
}

// pitchJolt is how far the pitch is thrown off for a moment, cents: two strokes of
// one pitch overlap with their phases apart.
func (o *onsets) pitchJolt(i int) float64 {
	f := o.frames[i]
	if !f.Voiced || f.Aperiodicity > 0.3 {
		return 0
	}
	before, ok1 := o.steadyPitch(i-12, i-4)
	after, ok2 := o.steadyPitch(i+5, i+13)
	if !ok1 || !ok2 {
		return 0
	}
	off := func(g float64) float64 { return 1200 * math.Abs(math.Log2(f.Freq/g)) }
	return math.Min(60, math.Max(0, math.Min(off(before), off(after))-5-o.pitchSwing(i-12, i-4)-o.pitchSwing(i+5, i+13)))
}

// pitchSwing is how far the pitch of a stretch goes up and down by itself, cents: a
// vibrato's does so all the time.
func (o *onsets) pitchSwing(from, to int) float64 {
	low, high := math.Inf(1), 0.0
	for k := max(0, from); k < min(len(o.frames), to); k++ {
		if f := o.frames[k]; f.Voiced && f.Aperiodicity < 0.3 {
			low, high = math.Min(low, f.Freq), math.Max(high, f.Freq)
		}
	}
	if high == 0 {
		return 0
	}
	return 1200 * math.Log2(high/low) / 2
}

// voicing is how much periodicity comes out of none: a note that begins in noise
// shows little else.
func (o *onsets) voicing(i int) float64 {
	if i < 7 || i+10 >= len(o.frames) || o.levelRise(i) == 0 {
		return 0
	}
	before := 1.0
	for k := i - 7; k < i; k++ {
		before = math.Min(before, o.frames[k].Aperiodicity)
	}
	after := 0.0
	for k := i + 5; k < i+10; k++ {
		after = math.Max(after, o.frames[k].Aperiodicity)
	}
	return math.Max(0, before-after-0.3)
}

// pitchStep is how far the steady pitch after a frame lies from that before, cents,
// nothing where either side has no steady pitch.
func (o *onsets) pitchStep(i int) float64 {
	before, ok1 := o.steadyPitch(i-9, i-2)
	after, ok2 := o.steadyPitch(i+2, i+9)
	if !ok1 || !ok2 {
		return 0
	}
	s := 1200 * math.Abs(math.Log2(after/before))
	if s < 40 && (s < 18 || o.levelDrop(i) < 2) {
		return 0
	}
	return math.Min(s, 2*enoughPitchStep)
}

func (o *onsets) steadyPitch(from, to int) (freq float64, ok bool) {
	var buf [32]float64
	f := buf[:0]
	for k := max(0, from); k < min(len(o.frames), to); k++ {
		if o.frames[k].Voiced && o.frames[k].Aperiodicity < 0.3 {
			f = append(f, o.frames[k].Freq)
		}
	}
	if len(f) < 4 {
		return 0, false
	}
	sort.Float64s(f)
	if 1200*math.Log2(f[len(f)-2]/f[1]) > 70 {
		return 0, false
	}
	return f[len(f)/2], true
}

// slurStep is a step between two pitches that both stand for a tenth of a second:
// enough without any new sound, which a wavering string does not have.
func (o *onsets) slurStep(i int) float64 {
	for gap := 2; gap <= slowGlide; gap++ {
		before, ok1 := o.heldPitch(i-gap-slurHeld, i-gap)
		after, ok2 := o.heldPitch(i+gap, i+gap+slurHeld)
		if !ok1 || !ok2 {
			continue
		}
		s := 1200 * math.Abs(math.Log2(after/before))
		if s < 65 || math.Abs(s-1200) < 60 {
			return 0 // an octave without new sound is the same string ringing on
		}
		for k := i - gap; k <= i+gap; k++ {
			if o.levels[k] < o.levels[i-gap-1]-slurFall {
				return 0 // the bow has left, and another string is heard to ring
			}
		}
		return math.Min(s, 2*enoughPitchStep) * (1 - 0.03*float64(gap-2)) // most where both pitches come nearest
	}
	return 0
}

const (
	slurHeld  = 11   // frames that both pitches stand
	slowGlide = 10   // frames either way that a glide between them may take
	slurFall  = 10.0 // dB
)

// heldPitch gives the pitch that all frames of a stretch keep within a third of a
// semitone, bow on the string.
func (o *onsets) heldPitch(from, to int) (freq float64, ok bool) {
	if from < 0 || to > len(o.frames) {
		return 0, false
	}
	low, high := math.Inf(1), 0.0
	for _, f := range o.frames[from:to] {
		if !f.Voiced || f.Aperiodicity > 0.25 {
			return 0, false
		}
		low, high = math.Min(low, f.Freq), math.Max(high, f.Freq)
	}
	if 1200*math.Log2(high/low) > 33 || o.levels[from]-o.levels[to-1] > 12 {
		return 0, false
	}
	return math.Sqrt(low * high), true
}

func (o *onsets) loudest(from, to int) float64 {
	high := math.Inf(-1)
	for k := max(0, from); k <= min(len(o.levels)-1, to); k++ {
		high = math.Max(high, o.levels[k])
	}
	return high
}
