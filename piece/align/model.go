package align

import (
	"math"

	"endpin/dsp"
)

// model is a line, the notes heard, and a supposition of pace and tuning under
// which the least-cost way of one through the other is sought.
type model struct {
	*score
	sounds
	pace   float64 // seconds heard for each nominal second
	octave float64 // semitones
	tuning float64 // semitones
	shift  float64 // of the reference from 440 Hz, semitones: the notes are free of it, the frames are not
	strict bool    // pace and tuning are known well
}

// sounds are notes heard, and what each is by itself.
type sounds struct {
	heard  []dsp.Note
	rings  []bool    // those that only ring on, or begin under a ring as another
	extras []float64 // cost of putting in all notes before one
}

func soundsOf(heard []dsp.Note) sounds {
	s := sounds{heard, make([]bool, len(heard)), make([]float64, len(heard)+1)}
	for j := range heard {
		s.rings[j] = s.ringsOn(j) || s.ringMasked(j)
	}
	for j := range heard {
		s.extras[j+1] = s.extras[j] + s.extraAt(j)
	}
	return s
}

// part gives some of them.
func (s sounds) part(from, to int) sounds {
	return sounds{s.heard[from:to], s.rings[from:to], s.extras[from : to+1]}
}

// Costs. A note that fits costs nothing; all else is weighed against leaving a
// note out and putting one in. Tuned on the takes of testdata/figures/aligned.md,
// where they were looked at while the rules were changed.
const (
	missingCost     = 1.6  // a note left out
	extraCost       = 1.6  // a note put in
	wrongCost       = 2.4  // another pitch in its place: less than one left out and one put in
	octaveOff       = 1.5  // a tracker's slip, or the string's octave
	timeMost        = 1.2  // an interval in time, however wrong
	jumpCost        = 4.5  // going back, or skipping
	jumpInside      = 0.8  // and more where it does not lead to the start of a measure
	farCost         = 0.2  // and more for each doubling of the measures between
	onwardCost      = 3.0  // going on with the next measure of the page though the line goes elsewhere: a repeat not taken
	otherEndingCost = 1.0  // taking one ending for another, and going on from it where the page goes from the other
	resumeCost      = 3.0  // going on behind notes that could not be followed, in time
	lostCost        = 14.0 // not following the player for a while: nine notes put in or so, after which it is …
	outsideCost     = 0.25 // … this a note, as before the first and after the last
	lateStart       = 2.0  // beginning elsewhere than at the beginning
	lateShare       = 4    // and one in so many of the notes before, or after
	partCost        = 4.0  // most for playing a part of the line only: less than a jump, or one note would be taken for its other end
	pageCost        = 1.0  // stopping at the end of the page, a repeat not taken
	matchReward     = 1.0  // for each note matched: hearing nothing must not be the best way through
	maxExtras       = 4    // notes, less one, that may be put in at one place …
	maxMissing      = 6    // … and be left out there
	tailCost        = 1.0  // what only rings on is hardly a note, nor what becomes another at once
	landingCost     = 1.0  // no one begins, or goes back to, a note whose pitch costs more
	beamWidth       = 9.0  // how far behind the best a way may fall before it is given up …
	beamCells       = 64   // and how many are followed at a time
	beamSteps       = 90   // in which the width is narrowed where they are more
)

// What a pitch costs, by how far it lies from the one expected, semitones.
const (
	inTuneWithin  = 0.5  // up to here it is a note out of tune …
	outOfTuneCost = 0.2  // … that costs this at most
	displacedTo   = 1.6  // up to here a hand has landed off: dearer by 1 a semitone
	octaveWithin  = 0.6  // from one or two octaves
	neighbourTo   = 3.0  // up to here it is a neighbour …
	neighbourCost = 1.9  // … that costs this
	unsureLeast   = 0.5  // a pitch that is not sure costs this at least …
	unsureShare   = 0.5  // … and of all else this share
	agreeingCost  = 0.3  // less is the pitch expected
	tunedWithin   = 0.8  // semitones: what tells how the take is tuned
	slowestPace   = 0.05 // s a nominal second: less is no pace
)

// pitchCost weighs a pitch heard against the one expected. A hand that landed
// about a semitone off displaces all its notes: that is not a wrong note yet.
func (m *model) pitchCost(i, j int) float64 {
	n := &m.heard[j]
	off := math.Abs(n.Pitch - m.tuning - m.octave - float64(m.line[i].MIDI))
	cost := wrongCost
	switch {
	case off < inTuneWithin:
		cost = outOfTuneCost * (off / inTuneWithin) * (off / inTuneWithin)
	case off < displacedTo:
		cost = outOfTuneCost + (off - inTuneWithin)
	case math.Abs(off-12) < octaveWithin || math.Abs(off-24) < octaveWithin:
		cost = octaveOff
	case off < neighbourTo:
		cost = neighbourCost
	}
	if n.Trust == dsp.NotSure {
		cost = unsureLeast + unsureShare*cost
	}
	if m.rings[j] {
		cost += tailCost
	}
	return cost
}

// timeCost weighs the time between two notes heard against that expected.
func (m *model) timeCost(i0, i, j0, j int) float64 {
	return math.Min(timeMost, m.offTime(i0, i, j0, j))
}

// How far an interval in time may be off at the cost of a half.
const (
	timeLeast  = 0.06 // s: onsets scatter by as much however short the interval …
	timeLoose  = 0.30 // … and of the interval, while the pace is only supposed …
	timeStrict = 0.20 // … or known
)

// offTime is how far the time between two notes heard lies from that expected, as a cost.
func (m *model) offTime(i0, i, j0, j int) float64 {
	want := (m.clock[i] - m.clock[i0]) * m.pace
	got := m.heard[j].Onset - m.heard[j0].Onset
	scale := timeLeast + timeLoose*want
	if m.strict {
		scale = timeLeast + timeStrict*want
	}
	d := (got - want) / scale
	return 0.5 * d * d
}

// Shares of what a note left out or put in costs.
const (
	unsureExtra   = 0.5 // what is not sure may be nothing
	ringExtra     = 0.3 // what rings on, or scoops, is hardly a note
	splitExtra    = 0.6 // a note split in two …
	splitStrength = 2.0 // … by an onset weaker than this …
	splitWithin   = 0.5 // … semitones from the one before
	repeatMissing = 0.7 // a note that repeats its neighbour
)

// extraAt is what it costs to put note j in.
func (m *sounds) extraAt(j int) float64 {
	switch {
	case m.heard[j].Trust == dsp.NotSure:
		return unsureExtra * extraCost
	case m.rings[j] || m.scoopOf(j, j+1) || m.scoopOf(j, j-1):
		return ringExtra * extraCost
	case m.heard[j].Strength < splitStrength && j > 0 && math.Abs(m.heard[j].Pitch-m.heard[j-1].Pitch) < splitWithin:
		return splitExtra * extraCost
	}
	return extraCost
}

const (
	scoopLongest = 0.25 // s
	scoopGap     = 0.03 // s between it and its note
	scoopWithin  = 1.3  // semitones
)

// scoopOf tells whether a short note hangs together with its neighbour, about a
// semitone off: the scoop or the wavering of that one.
func (m *sounds) scoopOf(j, with int) bool {
	if with < 0 || with >= len(m.heard) {
		return false
	}
	a, b := &m.heard[j], &m.heard[with]
	gap := math.Max(a.Onset, b.Onset) - math.Min(a.Offset, b.Offset)
	return a.Offset-a.Onset < scoopLongest && a.Offset-a.Onset < b.Offset-b.Onset && gap < scoopGap && math.Abs(a.Pitch-b.Pitch) < scoopWithin &&
		(a.Kind == dsp.PitchChange || b.Kind == dsp.PitchChange)
}
