package dsp

import (
	"math"
	"sort"
)

// How much of one kind of evidence is enough by itself; kinds add up. Found on
// sampled and recorded basses, bowed and plucked (common practice, no source).
const (
	enoughExcess = 7.0  // dB of rise a band, summed over the attack
	enoughLift   = 7.0  // dB
	enoughValley = 5.0  // dB
	enoughDrop   = 12.0 // dB, beyond the first 4
	enoughStep   = 60.0 // cents
	enoughWaver  = 40.0 // cents
	enoughBump   = 0.2  // aperiodicity
	enoughVoice  = 0.6  // aperiodicity
	enoughFresh  = 2.0  // dB of rise a band: with less new sound the softer kinds count less
	attackFrames = 5    // that an attack takes
)

// score adds up the evidence that a note begins at frame i; base is how much
// the bands rise hereabouts anyway.
func (o *onsets) score(i int, base float64) float64 {
	f := math.Min(1, o.fresh(i)/enoughFresh)
	return o.excess(i, base)/enoughExcess + math.Max(o.lift(i)/enoughLift, f*o.valley(i)/enoughValley) +
		o.slur(i)/enoughStep + o.voice(i)/enoughVoice + f*(f*o.drop(i)/enoughDrop+o.step(i)/enoughStep+o.bump(i)/enoughBump+o.waver(i)/enoughWaver)
}

// excess is how much more the bands rise in the frames of an attack than they
// do anyway hereabouts (bow noise, the beat of a low note's own periods).
func (o *onsets) excess(i int, base float64) float64 {
	sum := 0.0
	for k := max(0, i-1); k < min(len(o.rises), i+attackFrames); k++ {
		sum += math.Max(0, o.rises[k]-base)
	}
	return math.Max(0, sum-2)
}

// fresh is how much new sound comes in over an attack, dB of rise a band. A
// ringing string can beat and waver, but nothing new comes in.
func (o *onsets) fresh(i int) float64 {
	sum := 0.0
	for k := max(0, i-1); k < min(len(o.rises), i+7); k++ {
		sum += o.rises[k]
	}
	return sum
}

// lift is how far the level climbs after a frame from its lowest just before.
func (o *onsets) lift(i int) float64 {
	low := math.Inf(1)
	for k := max(0, i-5); k <= i; k++ {
		low = math.Min(low, o.levels[k])
	}
	return math.Max(0, o.loudest(i, i+8)-low-2)
}

// valley is how deep a dip between two levels a frame lies in.
func (o *onsets) valley(i int) float64 {
	return math.Max(0, math.Min(o.loudest(i-10, i), o.loudest(i, i+45))-o.levels[i]-1.5)
}

// drop is how far the level has just fallen, where the sound does not go on
// falling: a stroke was let go and another took over softly.
func (o *onsets) drop(i int) float64 {
	if o.loudest(i+4, i+14) < o.levels[i]+1 {
		return 0
	}
	return math.Min(8, math.Max(0, o.loudest(i-8, i-4)-o.levels[i]-4))
}

// bump is how far periodicity breaks at a frame and comes back: where one
// stroke ends and the next begins on the same pitch the string loses its phase.
func (o *onsets) bump(i int) float64 {
	before, after := 1.0, 1.0
	for k := max(0, i-8); k <= i-2; k++ {
		before = math.Min(before, o.frames[k].Aperiodicity)
	}
	for k := i + 2; k <= min(len(o.frames)-1, i+14); k++ {
		after = math.Min(after, o.frames[k].Aperiodicity)
	}
	return math.Max(0, math.Min(0.4, o.frames[i].Aperiodicity)-math.Max(before, after)-0.03)
}

// waver is how far the pitch is thrown off for a moment, cents: two strokes of
// one pitch overlap with their phases apart.
func (o *onsets) waver(i int) float64 {
	f := o.frames[i]
	if !f.Voiced || f.Aperiodicity > 0.3 {
		return 0
	}
	before, ok1 := o.steady(i-12, i-4)
	after, ok2 := o.steady(i+5, i+13)
	if !ok1 || !ok2 {
		return 0
	}
	off := func(g float64) float64 { return 1200 * math.Abs(math.Log2(f.Freq/g)) }
	return math.Min(60, math.Max(0, math.Min(off(before), off(after))-5-o.swing(i-12, i-4)-o.swing(i+5, i+13)))
}

// swing is how far the pitch of a stretch goes up and down by itself, cents: a
// vibrato's does so all the time.
func (o *onsets) swing(from, to int) float64 {
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

// voice is how much periodicity comes out of none: a note that begins in noise
// shows little else.
func (o *onsets) voice(i int) float64 {
	if i < 7 || i+10 >= len(o.frames) || o.lift(i) == 0 {
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

// step is how far the steady pitch after a frame lies from that before, cents,
// nothing where either side has no steady pitch.
func (o *onsets) step(i int) float64 {
	before, ok1 := o.steady(i-9, i-2)
	after, ok2 := o.steady(i+2, i+9)
	if !ok1 || !ok2 {
		return 0
	}
	s := 1200 * math.Abs(math.Log2(after/before))
	if s < 40 && (s < 18 || o.drop(i) < 2) {
		return 0
	}
	return math.Min(s, 2*enoughStep)
}

func (o *onsets) steady(from, to int) (freq float64, ok bool) {
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

// slur is a step between two pitches that both stand for a tenth of a second:
// enough without any new sound, which a wavering string does not have.
func (o *onsets) slur(i int) float64 {
	for gap := 2; gap <= slowGlide; gap++ {
		before, ok1 := o.held(i-gap-slurHeld, i-gap)
		after, ok2 := o.held(i+gap, i+gap+slurHeld)
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
		return math.Min(s, 2*enoughStep) * (1 - 0.03*float64(gap-2)) // most where both pitches come nearest
	}
	return 0
}

const (
	slurHeld  = 11   // frames that both pitches stand
	slowGlide = 10   // frames either way that a glide between them may take
	slurFall  = 10.0 // dB
)

// held gives the pitch that all frames of a stretch keep within a third of a
// semitone, bow on the string.
func (o *onsets) held(from, to int) (freq float64, ok bool) {
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
