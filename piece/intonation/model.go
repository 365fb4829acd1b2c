package intonation

import (
	"math"

	"endpin/dsp"
)

// Model is why the notes of a take are off: each is
//
//	the reference A + its string + its hand frame (or its open string) + its finger + itself
//
// The zero value knows of no note and of no cause.
type Model struct {
	A     float64   // the likeliest reference, cents from the one asked for
	SD    float64   // its standard deviation, cents
	Trust dsp.Trust // in it
	Own   bool      // enough sounded to tell of a reference
	Given bool      // it did not, and the reference given of another take is gone by

	// Scatter is the standard deviation of a stopped note by itself, cents.
	Scatter float64

	notes    []heard
	all      []effect
	of       map[Cause]int // index in all
	readings []Reading     // by A
	best     int           // of them
}

// Note is a note that tells of intonation.
type Note struct {
	Cents  float64 // from where it is written, against the reference asked for
	SD     float64 // of the measurement, cents
	String int     // 1 is the highest; 0 where it is not known
	Open   bool    // no finger moves it: an open string or a natural harmonic
	Frame  int     // the hand frame that it is stopped in; negative for none
	Finger string  // that stops it
	Reach  bool    // out of the frame, which then tells nothing of where the hand lies
}

// heard is what the model keeps of it.
type heard struct {
	cents   float64
	sd      float64
	scale   float64 // that and the player's scatter, cents
	stopped bool
}

// Cause is one cause that notes may share: a string, an open string, a hand frame, or the
// span of the hand. The zero value is none.
type Cause struct {
	what causeKind
	n    int
}

type causeKind int

const (
	ofNothing causeKind = iota
	ofString            // in the order in which they are moved
	ofOpenString
	ofSpan
	ofFrame
)

// OfString is a string with all that is stopped on it; 1 is the highest.
func OfString(s int) Cause { return Cause{ofString, s} }

// OfOpenString is an open string alone.
func OfOpenString(s int) Cause { return Cause{ofOpenString, s} }

// OfFrame is where the hand of a frame lies.
func OfFrame(frame int) Cause { return Cause{ofFrame, frame} }

// Span is how far the fourth finger lies from a whole tone above the first, in all
// frames that use both.
var Span = Cause{what: ofSpan}

// effect moves notes by so much of it each.
type effect struct {
	Cause
	notes []int
	share []float64
	scale float64 // cents
}

// Reading is the causes under one reference.
type Reading struct {
	A      float64   // cents from the reference asked for
	effect []float64 // by cause, cents
	of     map[Cause]int
	cost   float64 // negative logarithm of its odds
	odds   float64 // that this is the one: they add up to one
}

// Of is what a cause is under a reading, cents; one that moves no note is nothing.
func (r *Reading) Of(c Cause) float64 {
	if k, known := r.of[c]; known {
		return r.effect[k]
	}
	return 0
}

// How much must have sounded to tell of a reference. Set by ear, no source.
const (
	ownStrings    = 2    // notes of open strings, or …
	ownFrames     = 2    // … frames, that tell of a reference by themselves
	givenDoubt    = 4.0  // cents that a bass may have gone off since the reference was given
	sameReference = 10.0 // cents: of A within so many it is one reading
)

// Prior is what is known of the reference from another take of the same bass: cents from
// the one asked for, and their standard deviation.
type Prior struct {
	A, SD    float64
	Supposed bool // nobody heard it: what is told from it is not sure, unless what sounds says the same
}

// Explain finds the causes of notes. A reference given from elsewhere is gone by only
// where these tell too little of their own; nil is none. One that is supposed is borne out
// by hands in several places that by themselves come to the same, and then is fair.
func Explain(notes []Note, given *Prior) *Model {
	if given != nil && given.Supposed {
		own := Explain(notes, nil)
		if agree := math.Abs(own.A-given.A) <= sameReference; own.Trust != dsp.NotSure && agree {
			own.Trust = dsp.Fair
			return own
		}
	}
	m := &Model{of: map[Cause]int{}, Trust: dsp.NotSure}
	open, frames := m.gather(notes)
	// Frames are no witnesses against it: one hand may lie beside its place in all of them.
	m.Given = given != nil && open < ownStrings
	m.Own = !m.Given && (open >= ownStrings || frames >= ownFrames)
	p := Prior{SD: usualA}
	if m.Given {
		p = Prior{A: given.A, SD: math.Hypot(given.SD, givenDoubt)}
	}
	m.explain(p)
	var one float64
	m.A, m.SD, one = m.reference(sameReference)
	if m.Own || m.Given && !given.Supposed {
		m.Trust = TrustIn(one)
	}
	return m
}

// gather sets up what may be why each note is off, and counts the notes of open strings
// and the frames.
func (m *Model) gather(notes []Note) (open, frames int) {
	both := Spanning(notes)
	for i := range notes {
		n := &notes[i]
		m.notes = append(m.notes, heard{cents: n.Cents, sd: n.SD, stopped: !n.Open})
		if n.String > 0 {
			m.moves(OfString(n.String), usualString, 1)
		}
		if n.Open {
			open++
			m.moves(OfOpenString(n.String), usualOpen, 1)
		}
		if n.Frame < 0 {
			continue
		}
		if !n.Reach && m.moves(OfFrame(n.Frame), usualFrame, 1) {
			frames++
		}
		if both[n.Frame] && FingerShare[n.Finger] > 0 {
			m.moves(Span, usualSpan, FingerShare[n.Finger])
		}
	}
	return open, frames
}

// FingerShare is how much of a hand's span a finger lies off by.
var FingerShare = map[string]float64{"2": 0.5, "3": 0.5, "4": 1}

// Spanning gives the frames in which both the first and the fourth finger were heard:
// only they tell of the hand's span.
func Spanning(notes []Note) map[int]bool {
	first, both := map[int]bool{}, map[int]bool{}
	for _, n := range notes {
		first[n.Frame] = first[n.Frame] || n.Frame >= 0 && n.Finger == "1"
	}
	for _, n := range notes {
		both[n.Frame] = both[n.Frame] || first[n.Frame] && n.Finger == "4"
	}
	return both
}

// moves says that a cause moves the last note by so much of it, and whether that is the
// first of its notes.
func (m *Model) moves(c Cause, scale, share float64) (first bool) {
	k, known := m.of[c]
	if !known {
		k = len(m.all)
		m.of[c] = k
		m.all = append(m.all, effect{Cause: c, scale: scale})
	}
	e := &m.all[k]
	e.notes, e.share = append(e.notes, len(m.notes)-1), append(e.share, share)
	return !known
}

// reference is A: where it lies most likely, cents from the reference asked for, its
// standard deviation, and how likely it lies within so many cents of that.
func (m *Model) reference(within float64) (a, sd, likely float64) {
	a = m.readings[m.best].A
	if m.best > 0 && m.best+1 < len(m.readings) { // the top of the parabola through three
		low, top, high := math.Log(m.readings[m.best-1].odds), math.Log(m.readings[m.best].odds), math.Log(m.readings[m.best+1].odds)
		if bend := 2*top - low - high; bend > 0 && !math.IsInf(bend, 1) {
			a += readingStep / 2 * (high - low) / bend
		}
	}
	for _, r := range m.readings {
		sd += r.odds * (r.A - a) * (r.A - a)
		if math.Abs(r.A-a) <= within {
			likely += r.odds
		}
	}
	return a, math.Sqrt(sd), likely
}

// Likeliest is the reading with the best odds.
func (m *Model) Likeliest() *Reading { return &m.readings[m.best] }

// Effect is what a cause is under the likeliest reading, and its standard deviation there.
func (m *Model) Effect(c Cause) (cents, sd float64) {
	k, known := m.of[c]
	if !known || len(m.readings) == 0 {
		return 0, 0
	}
	cents = m.readings[m.best].effect[k]
	left := m.left(m.Likeliest())
	e := &m.all[k]
	total := weight(cents/e.scale, causeTails) / (e.scale * e.scale)
	for j, i := range e.notes {
		n := &m.notes[i]
		total += weight(left[i]/n.scale, noteTails) / (n.scale * n.scale) * e.share[j] * e.share[j]
	}
	return cents, 1 / math.Sqrt(total)
}

// How likely something is that is told, fair and sure (design: of what is sure 98 in 100
// are right, of what is fair 85).
const (
	Surely = 0.98
	Fairly = 0.85
)

// Beyond is how surely something is off by more than is allowed, on the side where it
// lies: at gives where it lies under a reading, cents, and sd is how surely.
func (m *Model) Beyond(allowed, sd float64, at func(r *Reading) float64) dsp.Trust {
	side, likely := at(m.Likeliest()), 0.0
	for k := range m.readings {
		r := &m.readings[k]
		likely += r.odds * Normal((math.Copysign(at(r), at(r)*side)-allowed)/sd)
	}
	return TrustIn(likely)
}

// Another is how surely a note was another than the one written, a semitone off or more:
// how likely it lies so near to that one, and so far from its own, as the player's notes
// scatter, where another is so many times rarer. At is where it lies under a reading,
// cents, and sd is how surely.
func (m *Model) Another(stopped bool, rarer, sd float64, at func(r *Reading) float64) dsp.Trust {
	own := leastOpen
	if stopped {
		own = m.Scatter
	}
	scale, likely := math.Hypot(sd, own), 0.0
	for k := range m.readings {
		r := &m.readings[k]
		off, others := math.Abs(at(r)), 0.0
		for k := max(1, math.Floor(off/100)); k <= off/100+1; k++ {
			others += math.Exp(-rare((off-100*k)/scale, noteTails))
		}
		likely += r.odds * others / (others + rarer*math.Exp(-rare(off/scale, noteTails)))
	}
	return TrustIn(likely)
}

// TrustIn is how surely something is told that is as likely as that.
func TrustIn(likely float64) dsp.Trust {
	switch {
	case likely >= Surely:
		return dsp.Sure
	case likely >= Fairly:
		return dsp.Fair
	}
	return dsp.NotSure
}

// Normal is the share of a normal distribution below so many standard deviations.
func Normal(x float64) float64 { return math.Erfc(-x/math.Sqrt2) / 2 }
