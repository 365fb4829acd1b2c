package dsp

import (
	"math"

	"endpin/dsp/robust"
)

// onsets finds where notes begin, from the pitch track and the rises that flux
// measured, frame for frame. All kinds of evidence count together (score), so that
// each beginning counts once.
type onsets struct {
	frames []Frame
	flux   []float64
	hop    float64 // s
	levels []float64

	floor  float64   // level of the room, dB
	base   []float64 // of flux: what the bands do anyway hereabouts
	scores []float64 // evidence, frame for frame
}

// Set by ear on sampled and recorded basses, bowed and plucked; no source.
const (
	baseReach       = 25    // frames to each side whose flux is what the bands do anyway
	audibleOver     = 9.0   // dB above the room: less is nobody's note
	audibleFrames   = 10    // frames after an onset in which its note must be as loud
	lookedAt        = 100   // frames of a note whose loudest tells where it begins
	onsetEvidence   = 1.2   // evidence for an onset: more than any one sign just alone
	faintEvidence   = 0.6   // and for one to be kept in mind
	plainEvidence   = 2.0   // and for one that stands by itself in a note that still swells
	leastInterOnset = 0.075 // s: two beginnings closer than this are one
	slowestAttack   = 0.25  // s that a bow may take over one beginning
	pluckSettling   = 0.35  // s that a plucked string may take to find its pitch
	ringMasks       = 0.40  // s that what rings may hide the pitch of a note begun
)

// findOnsets gives the onsets, and those too faint to count, in order.
func findOnsets(frames []Frame, rises []float64, floor float64) (found, faint []Onset) {
	if len(frames) < 2 {
		return nil, nil
	}
	o := &onsets{frames: frames, flux: rises, hop: frames[1].Time - frames[0].Time, levels: smoothLevels(frames),
		floor: floor, base: robust.Running(rises, baseReach), scores: make([]float64, len(frames))}
	for i := range o.scores {
		if o.loudest(i, i+audibleFrames) >= floor+audibleOver {
			o.scores[i] = o.score(i, o.base[i])
		}
	}
	var at []int
	reach := int(leastInterOnset / o.hop)
	for i, score := range o.scores {
		switch {
		case score < faintEvidence && o.newSound(i) < enoughNewSound || !o.peaks(i, reach):
		case score < onsetEvidence:
			faint = append(faint, Onset{Time: o.onsetTime(i, min(len(frames), i+lookedAt)), Strength: score, Fresh: o.newSound(i), Kind: Attack})
		default:
			at = o.join(at, i)
		}
	}
	return o.place(o.outOfSilence(at)), faint
}

// peaks tells whether no frame so near has more evidence, and none before it as much.
func (o *onsets) peaks(i, reach int) bool {
	for k := max(0, i-reach); k <= min(len(o.scores)-1, i+reach); k++ {
		if o.scores[k] > o.scores[i] || o.scores[k] == o.scores[i] && k < i {
			return false
		}
	}
	return true
}

// join adds frame i to those at which notes begin, unless it belongs to the last.
func (o *onsets) join(at []int, i int) []int {
	last := len(at) - 1
	switch {
	case last < 0:
	case o.sameAttack(at[last], i) || o.scores[i] < plainEvidence && o.inSwell(at[last], i):
		if o.loudest(at[last]+1, i-2) < o.floor+audibleOver || o.newSound(at[last]) < enoughNewSound && o.newSound(i) >= enoughNewSound {
			at[last] = i // nothing sounds between them, or the first brought nothing new: it was the end of the note before
		}
		return at
	case o.pluckSettlesAt(at[last], i) || o.kind(i, o.base[i]) == PitchChange && o.sharePeriod(at[last], i):
		return at
	}
	return append(at, i)
}

// place tells when the notes begin that were found at frames, and what gave them away;
// those that swell out of silence begin where they are first heard.
func (o *onsets) place(at []int, swelled map[int]bool) []Onset {
	found := make([]Onset, 0, len(at))
	for k, i := range at {
		next := len(o.frames)
		if k+1 < len(at) {
			next = at[k+1]
		}
		onset := Onset{Time: o.onsetTime(i, min(next, i+lookedAt)), Strength: math.Max(onsetEvidence, o.scores[i]), Fresh: o.newSound(i), Kind: o.kind(i, o.base[i])}
		last := len(found) - 1
		switch {
		case swelled[i]:
			onset.Time, onset.Kind = o.frames[i].Time, Attack
			for _, v := range o.scores[i:min(next, i+int(softOnsetLate/o.hop))] {
				onset.Strength = math.Max(onset.Strength, v)
			}
		case onset.Kind == PitchChange:
			// Where the note before is so short that its own sound was never clear, the
			// break in it is no sign of the next.
			onset.Stroke = onset.Time
			if t := o.glideMidpoint(i); last < 0 || t >= found[last].Time+leastInterOnset {
				onset.Time = t
			}
		}
		// What came up may be the same beginning as the one before it or after it.
		if last >= 0 && onset.Time < found[last].Time+leastInterOnset {
			switch {
			case swelled[i]:
				continue
			case swelled[at[k-1]]:
				found = found[:last]
			}
		}
		found = append(found, onset)
	}
	return found
}

const glideDip = 3.0 // dB: a deeper dip is a new stroke

// kind tells an attack from a pitch that changed under one bow.
func (o *onsets) kind(i int, base float64) OnsetKind {
	if o.pitchStep(i) >= enoughPitchStep && o.fluxExcess(i, base) < enoughFluxExcess/2 && o.levelDip(i) < glideDip {
		return PitchChange
	}
	return Attack
}

const (
	growthFrames = 40   // in which a slow bow's note has come up
	biteUnder    = 7.0  // dB below what follows that the first bite stays
	samePitch    = 60.0 // cents: less is the same note
)

// sameAttack tells whether the sound between two beginnings had not yet come up
// to what follows the second: a bow that takes two bites at one note. Where it
// had found another pitch it was a note.
func (o *onsets) sameAttack(a, b int) bool {
	if float64(b-a)*o.hop >= slowestAttack || o.loudest(a, b) >= o.loudest(b, b+growthFrames)-biteUnder {
		return false
	}
	between, ok1 := o.steadyPitch(a+stepNear, b-1)
	after, ok2 := o.steadyPitch(b+stepNear, b+stepFar)
	return !ok1 || !ok2 || centsApart(after, between) < samePitch
}

const (
	pluckFrames = 6   // in which a pluck is at its loudest
	pluckOver   = 5.0 // dB that it is louder than where its pitch settles
)

// pluckSettlesAt tells whether what changes at b is still the string plucked at a: the
// body answers a pluck first, up to a semitone off, and as it dies away the string is
// heard. A new stroke brings new sound in.
func (o *onsets) pluckSettlesAt(a, b int) bool {
	if float64(b-a)*o.hop > pluckSettling || o.kind(b, o.base[b]) == Attack && o.newSound(b) > enoughNewSound {
		return false
	}
	_, peak := o.fluxPeak(a)
	return peak > plainAttack && o.loudest(a, a+pluckFrames) > o.levels[b]+pluckOver && o.pitchStep(b) < stepMost && o.fluxExcess(b, 0) < enoughFluxExcess
}

const (
	ringFrames     = 10   // before and after that tell the pitches of the two notes
	highestPartial = 8    // of what both have in common
	partialWithin  = 35.0 // cents: a string's partials lie a little sharp
)

// sharePeriod tells whether the pitch between two beginnings was that of two sounds at
// once: where a room or a string still rings, the note begun at a and the one
// before it have a period in common, an octave or more below both, until the old
// one has died away at b. A player who really leaps there and back has to bow.
func (o *onsets) sharePeriod(a, b int) bool {
	if float64(b-a)*o.hop > ringMasks {
		return false
	}
	between, ok1 := o.steadyPitch(a+stepNear, b-1)
	after, ok2 := o.steadyPitch(b+stepNear, b+ringFrames)
	if !ok1 || !ok2 {
		return false
	}
	l := partialOf(after, between)
	if before, ok := o.steadyPitch(a-ringFrames, a-1); ok && l == 2 {
		return partialOf(before, between) > 2
	}
	return l > 2
}

// partialOf is which partial of a fundamental a frequency is, 0 for none up to the eighth.
func partialOf(freq, fundamental float64) int {
	k := math.Round(freq / fundamental)
	if k < 1 || k > highestPartial || math.Abs(Interval(k, freq/fundamental)) > partialWithin {
		return 0
	}
	return int(k)
}

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
