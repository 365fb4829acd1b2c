package dsp

import (
	"math"
	"sort"
)

// onsets finds where notes begin, from the pitch track and the rises that flux
// measured, frame for frame. Three kinds of evidence count together, so that
// each beginning counts once: sound that rises over its bands (excess), a
// level that lifts out of a dip (a re-bowed note of the same pitch has little
// else), and a pitch that steps (a slurred note has nothing else).
type onsets struct {
	frames []Frame
	rises  []float64
	hop    float64 // s
	levels []float64
}

// Evidence that is enough by itself.
const (
	enoughExcess = 7.0  // dB of rise a band, summed over the attack
	enoughLift   = 7.0  // dB
	enoughStep   = 60.0 // cents
	enoughBump   = 0.2  // aperiodicity
	enoughValley = 5.0  // dB
	enoughDrop   = 12.0 // dB, beyond the first 4
	enoughWaver  = 40.0 // cents
	enoughVoice  = 0.6  // aperiodicity
	enoughFresh  = 2.0  // dB of rise a band
	slowAttack   = 0.25 // s
	pluckSettles = 0.35 // s
	attackFrames = 5
	apart        = 0.075 // s: two beginnings closer than this are one
)

func findOnsets(frames []Frame, rises []float64, floor float64) (found, faint []Onset) {
	if len(frames) < 2 {
		return nil, nil
	}
	o := &onsets{frames: frames, rises: rises, hop: frames[1].Time - frames[0].Time}
	o.levels = smoothLevels(frames)
	n := len(frames)
	score := make([]float64, n)
	base := runningMedian(rises, 25)
	for i := range score {
		if o.loudest(i, i+10) >= floor+9 {
			score[i] = o.score(i, base[i])
		}
	}
	var at []int
	reach := int(apart / o.hop)
	for i := range score {
		if score[i] < faintly {
			continue
		}
		best := true
		for k := max(0, i-reach); k <= min(n-1, i+reach); k++ {
			if score[k] > score[i] || (score[k] == score[i] && k < i) {
				best = false
				break
			}
		}
		if !best {
			continue
		}
		if score[i] < enough {
			faint = append(faint, Onset{Time: o.start(i, min(n, i+100)), Strength: score[i], Kind: Attack})
			continue
		}
		if last := len(at) - 1; last >= 0 && o.sameAttack(at[last], i) {
			if o.loudest(at[last]+1, i-2) < floor+9 {
				at[last] = i // nothing sounds between them: the first was the end of the note before
			}
			continue
		}
		if last := len(at) - 1; last >= 0 && o.kind(i, base[i]) == PitchChange && o.settling(at[last], i) {
			continue
		}
		at = append(at, i)
	}
	found = make([]Onset, len(at))
	for k, i := range at {
		next := n
		if k+1 < len(at) {
			next = at[k+1]
		}
		found[k] = Onset{Time: o.start(i, min(next, i+100)), Strength: score[i], Kind: o.kind(i, base[i])}
		if found[k].Kind == PitchChange {
			found[k].Time = o.crossing(i)
		}
	}
	return found, faint
}

// kind tells an attack from a pitch that changed under one bow.
func (o *onsets) kind(i int, base float64) OnsetKind {
	if o.step(i) >= enoughStep && o.excess(i, base) < enoughExcess/2 && o.valley(i) < 3 {
		return PitchChange
	}
	return Attack
}

func (o *onsets) score(i int, base float64) float64 {
	f := math.Min(1, o.fresh(i)/enoughFresh)
	return o.excess(i, base)/enoughExcess + math.Max(o.lift(i)/enoughLift, f*o.valley(i)/enoughValley) +
		o.slur(i)/enoughStep + o.voice(i)/enoughVoice + f*(f*o.drop(i)/enoughDrop+o.step(i)/enoughStep+o.bump(i)/enoughBump+o.waver(i)/enoughWaver)
}

// sameAttack tells whether the sound between two beginnings had not yet come up
// to what follows the second: a bow that takes two bites at one note. Where it
// had found another pitch it was a note.
func (o *onsets) sameAttack(a, b int) bool {
	if float64(b-a)*o.hop >= slowAttack || o.loudest(a, b) >= o.loudest(b, b+40)-7 {
		return false
	}
	between, ok1 := o.steady(a+2, b-1)
	after, ok2 := o.steady(b+2, b+9)
	return !ok1 || !ok2 || 1200*math.Abs(math.Log2(after/between)) < 60
}

// settling tells whether a pitch that changes at b is still that of the string
// plucked at a: the body answers a pluck first, up to a semitone off, and as it
// dies away the string is heard.
func (o *onsets) settling(a, b int) bool {
	if float64(b-a)*o.hop > pluckSettles {
		return false
	}
	_, peak := o.sharpest(a)
	return peak > sharp && o.loudest(a, a+6) > o.levels[b]+5 && o.step(b) < 2*enoughStep && o.excess(b, 0) < enoughExcess
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

// excess is how much more the bands rise in the frames of an attack than they
// do anyway hereabouts (bow noise, the beat of a low note's own periods).
func (o *onsets) excess(i int, base float64) float64 {
	sum := 0.0
	for k := max(0, i-1); k < min(len(o.rises), i+attackFrames); k++ {
		sum += math.Max(0, o.rises[k]-base)
	}
	return math.Max(0, sum-2)
}

// lift is how far the level climbs after a frame from its lowest just before.
func (o *onsets) lift(i int) float64 {
	low := math.Inf(1)
	for k := max(0, i-5); k <= i; k++ {
		low = math.Min(low, o.levels[k])
	}
	return math.Max(0, o.loudest(i, i+8)-low-2)
}

func (o *onsets) loudest(from, to int) float64 {
	high := math.Inf(-1)
	for k := max(0, from); k <= min(len(o.levels)-1, to); k++ {
		high = math.Max(high, o.levels[k])
	}
	return high
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

// start places the beginning found at frame i, whose note lasts until next.
// A note begins when it is heard: where its level comes within 20 dB of its
// loudest (a tenth of the amplitude). Where an old sound hides that, a sharp
// attack is placed by its rise, and a soft one by where periodicity breaks.
func (o *onsets) start(i, next int) float64 {
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
	if at, peak := o.sharpest(i); peak > sharp {
		for at > from && o.rises[at-1] > 0.25*peak {
			at--
		}
		return math.Max(heard, math.Max(o.frames[at].Time, o.frames[low].Time-lowLead))
	}
	if !math.IsInf(heard, -1) {
		return heard
	}
	for k := from; k <= to; k++ {
		a, b := o.frames[k-1].Aperiodicity, o.frames[k].Aperiodicity
		if b > breakPoint && a <= breakPoint {
			return math.Max(o.frames[k-1].Time+(breakPoint-a)/(b-a)*o.hop, o.frames[low].Time-lowLead)
		}
	}
	return o.frames[low].Time - lowLead/2
}

// crossing is when the pitch passes half way from one note to the next under
// one bow, about frame i.
func (o *onsets) crossing(i int) float64 {
	before, ok1 := o.steady(i-10, i-2)
	after, ok2 := o.steady(i+5, i+15)
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

// sharpest finds the greatest rise about a frame.
func (o *onsets) sharpest(i int) (at int, rise float64) {
	for k := max(0, i-3); k < min(len(o.rises), i+attackFrames); k++ {
		if o.rises[k] > rise {
			rise, at = o.rises[k], k
		}
	}
	return at, rise
}

const (
	sharp      = 3.0
	enough     = 1.2
	faintly    = 0.6
	breakPoint = 0.12
	levelDelay = 0.006
	lowLead    = 0.025
)

func smoothLevels(frames []Frame) []float64 {
	out := make([]float64, len(frames))
	for i := range frames {
		sum, n := 0.0, 0.0
		for k := max(0, i-1); k <= min(len(frames)-1, i+1); k++ {
			sum += frames[k].Level
			n++
		}
		out[i] = sum / n
	}
	return out
}

// runningMedian takes the median of up to 2·reach+1 values about each.
func runningMedian(x []float64, reach int) []float64 {
	out := make([]float64, len(x))
	buf := make([]float64, 0, 2*reach+1)
	for i := range x {
		buf = append(buf[:0], x[max(0, i-reach):min(len(x), i+reach+1)]...)
		sort.Float64s(buf)
		out[i] = buf[len(buf)/2]
	}
	return out
}
