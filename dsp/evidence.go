package dsp

import (
	"math"
	"sort"
)

// How much of one kind of evidence is enough by itself; kinds add up. All numbers of
// this file were found on sampled and recorded basses, bowed and plucked, and set by
// ear; none has a source. Frames follow each other by 10 ms.
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
	return o.fluxExcess(i, base)/enoughFluxExcess + o.slurStep(i)/enoughPitchStep + o.voicing(i)/enoughVoicing +
		f*(math.Max(o.levelRise(i)/enoughLevelRise, o.levelDip(i)/enoughLevelDip)+f*o.levelDrop(i)/enoughLevelDrop+
			o.pitchStep(i)/enoughPitchStep+o.phaseBreak(i)/enoughPhaseBreak+o.pitchJolt(i)/enoughPitchJolt)
}

const fluxFree = 2.0 // dB a band by which the bands go up by themselves over an attack

// fluxExcess is how much more the bands rise in the frames of an attack than they
// do anyway hereabouts (bow noise, the beat of a low note's own periods).
func (o *onsets) fluxExcess(i int, base float64) float64 {
	sum := 0.0
	for k := max(0, i-1); k < min(len(o.flux), i+attackFrames); k++ {
		sum += math.Max(0, o.flux[k]-base)
	}
	return math.Max(0, sum-fluxFree)
}

const newSoundFrames = 7 // in which all the new sound of an attack has come in

// newSound is how much new sound comes in over an attack, dB of rise a band. A
// ringing string can beat and waver, but nothing new comes in.
func (o *onsets) newSound(i int) float64 {
	sum := 0.0
	for k := max(0, i-1); k < min(len(o.flux), i+newSoundFrames); k++ {
		sum += o.flux[k]
	}
	return sum
}

const (
	riseBefore = 5   // frames in which the lowest level lies
	riseAfter  = 8   // frames in which the level climbs
	riseFree   = 2.0 // dB by which it goes up by itself
)

// levelRise is how far the level climbs after a frame from its lowest just before.
func (o *onsets) levelRise(i int) float64 {
	low := math.Inf(1)
	for k := max(0, i-riseBefore); k <= i; k++ {
		low = math.Min(low, o.levels[k])
	}
	return math.Max(0, o.loudest(i, i+riseAfter)-low-riseFree)
}

const (
	dipBefore = 10  // frames in which the old sound was louder
	dipAfter  = 45  // frames in which the new one is: a soft bow takes long to climb out
	dipFree   = 1.5 // dB by which a held note's level dips by itself
)

// levelDip is how deep a dip between two levels a frame lies in.
func (o *onsets) levelDip(i int) float64 {
	return math.Max(0, math.Min(o.loudest(i-dipBefore, i), o.loudest(i, i+dipAfter))-o.levels[i]-dipFree)
}

const (
	dropFar    = 8   // frames before, from which …
	dropNear   = 4   // … to which the old stroke sounded
	dropFree   = 4.0 // dB that it may fall by itself
	dropMost   = 8.0 // dB that count: what falls farther is a release
	dropOnFrom = 4   // frames after, from which …
	dropOnTo   = 14  // … to which the sound goes on …
	dropOn     = 1.0 // … and is louder by this, dB
)

// levelDrop is how far the level has just fallen, where the sound does not go on
// falling: a stroke was let go and another took over softly.
func (o *onsets) levelDrop(i int) float64 {
	if o.loudest(i+dropOnFrom, i+dropOnTo) < o.levels[i]+dropOn {
		return 0
	}
	return math.Min(dropMost, math.Max(0, o.loudest(i-dropFar, i-dropNear)-o.levels[i]-dropFree))
}

const (
	breakBefore = 8    // frames that were periodic …
	breakAfter  = 14   // … and are again …
	breakNear   = 2    // … but for so many next to the break
	breakMost   = 0.4  // aperiodicity that counts: more is noise
	breakFree   = 0.03 // aperiodicity by which a held note's goes up and down
)

// phaseBreak is how far periodicity breaks at a frame and comes back: where one
// stroke ends and the next begins on the same pitch the string loses its phase.
func (o *onsets) phaseBreak(i int) float64 {
	before, after := 1.0, 1.0
	for k := max(0, i-breakBefore); k <= i-breakNear; k++ {
		before = math.Min(before, o.frames[k].Aperiodicity)
	}
	for k := i + breakNear; k <= min(len(o.frames)-1, i+breakAfter); k++ {
		after = math.Min(after, o.frames[k].Aperiodicity)
	}
	return math.Max(0, math.Min(breakMost, o.frames[i].Aperiodicity)-math.Max(before, after)-breakFree)
}

const (
	joltFrom  = 12   // frames before, from which …
	joltTo    = 4    // … to which the pitch was steady …
	joltFrom2 = 5    // … and frames after, from which …
	joltTo2   = 13   // … to which it is again
	joltFree  = 5.0  // cents that a steady pitch errs by
	joltMost  = 60.0 // cents that count: more is another pitch
)

// pitchJolt is how far the pitch is thrown off for a moment, cents: two strokes of
// one pitch overlap with their phases apart.
func (o *onsets) pitchJolt(i int) float64 {
	f := o.frames[i]
	if !f.Voiced || f.Aperiodicity > clearPitch {
		return 0
	}
	before, ok1 := o.steadyPitch(i-joltFrom, i-joltTo)
	after, ok2 := o.steadyPitch(i+joltFrom2, i+joltTo2)
	if !ok1 || !ok2 {
		return 0
	}
	return math.Min(joltMost, math.Max(0, math.Min(centsApart(f.Freq, before), centsApart(f.Freq, after))-joltFree-o.pitchSwing(i-joltFrom, i-joltTo)-o.pitchSwing(i+joltFrom2, i+joltTo2)))
}

// pitchSwing is how far the pitch of a stretch goes up and down by itself, cents: a
// vibrato's does so all the time.
func (o *onsets) pitchSwing(from, to int) float64 {
	low, high := math.Inf(1), 0.0
	for k := max(0, from); k < min(len(o.frames), to); k++ {
		if f := o.frames[k]; f.Voiced && f.Aperiodicity < clearPitch {
			low, high = math.Min(low, f.Freq), math.Max(high, f.Freq)
		}
	}
	if high == 0 {
		return 0
	}
	return Interval(low, high) / 2
}

const (
	voicingBefore = 7   // frames without a period …
	voicingFrom   = 5   // … and frames after, from which …
	voicingTo     = 10  // … to which there is one
	voicingFree   = 0.3 // aperiodicity by which noise itself goes up and down
)

// voicing is how much periodicity comes out of none: a note that begins in noise
// shows little else.
func (o *onsets) voicing(i int) float64 {
	if i < voicingBefore || i+voicingTo >= len(o.frames) || o.levelRise(i) == 0 {
		return 0
	}
	before := 1.0
	for k := i - voicingBefore; k < i; k++ {
		before = math.Min(before, o.frames[k].Aperiodicity)
	}
	after := 0.0
	for k := i + voicingFrom; k < i+voicingTo; k++ {
		after = math.Max(after, o.frames[k].Aperiodicity)
	}
	return math.Max(0, before-after-voicingFree)
}

const (
	stepNear      = 2                   // frames either side that the pitch may take to move …
	stepFar       = 9                   // … and up to which it is steady
	stepLeast     = 40.0                // cents: less is a note that settles …
	stepSoftLeast = 18.0                // … but this is enough where one stroke was let go, …
	stepDrop      = 2.0                 // … by so many dB
	stepMost      = 2 * enoughPitchStep // cents that count
)

// pitchStep is how far the steady pitch after a frame lies from that before, cents,
// nothing where either side has no steady pitch.
func (o *onsets) pitchStep(i int) float64 {
	before, ok1 := o.steadyPitch(i-stepFar, i-stepNear)
	after, ok2 := o.steadyPitch(i+stepNear, i+stepFar)
	if !ok1 || !ok2 {
		return 0
	}
	s := centsApart(after, before)
	if s < stepLeast && (s < stepSoftLeast || o.levelDrop(i) < stepDrop) {
		return 0
	}
	return math.Min(s, stepMost)
}

const (
	clearPitch   = 0.3  // aperiodicity above which a frame's pitch tells nothing of an onset
	steadyLeast  = 4    // frames that must be clear
	steadyWithin = 70.0 // cents that all but the lowest and the highest keep within, vibrato included
)

// steadyPitch is the median frequency of a stretch of frames, Hz.
func (o *onsets) steadyPitch(from, to int) (freq float64, ok bool) {
	var buf [32]float64
	f := buf[:0]
	for k := max(0, from); k < min(len(o.frames), to); k++ {
		if o.frames[k].Voiced && o.frames[k].Aperiodicity < clearPitch {
			f = append(f, o.frames[k].Freq)
		}
	}
	if len(f) < steadyLeast {
		return 0, false
	}
	sort.Float64s(f)
	if Interval(f[1], f[len(f)-2]) > steadyWithin {
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
		s := centsApart(after, before)
		if s < slurLeast || math.Abs(s-1200) < slurOctave {
			return 0 // an octave without new sound is the same string ringing on
		}
		for k := i - gap; k <= i+gap; k++ {
			if o.levels[k] < o.levels[i-gap-1]-slurFall {
				return 0 // the bow has left, and another string is heard to ring
			}
		}
		return math.Min(s, stepMost) * (1 - slurFade*float64(gap-2)) // most where both pitches come nearest
	}
	return 0
}

const (
	slurHeld   = 11   // frames that both pitches stand
	slowGlide  = 10   // frames either way that a glide between them may take
	slurFall   = 10.0 // dB that the level may fall over the glide, bow on the string
	slurLeast  = 65.0 // cents: less is no other note
	slurOctave = 60.0 // cents from an octave
	slurFade   = 0.03 // of the evidence that each frame of the glide takes off

	heldPeriodic = 0.25 // aperiodicity above which a bow does not hold a note
	heldWithin   = 33.0 // cents: a third of a semitone
	heldFall     = 12.0 // dB over the stretch: a bow falls off less
)

// heldPitch gives the pitch that all frames of a stretch keep within a third of a
// semitone, bow on the string.
func (o *onsets) heldPitch(from, to int) (freq float64, ok bool) {
	if from < 0 || to > len(o.frames) {
		return 0, false
	}
	low, high := math.Inf(1), 0.0
	for _, f := range o.frames[from:to] {
		if !f.Voiced || f.Aperiodicity > heldPeriodic {
			return 0, false
		}
		low, high = math.Min(low, f.Freq), math.Max(high, f.Freq)
	}
	if Interval(low, high) > heldWithin || o.levels[from]-o.levels[to-1] > heldFall {
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
