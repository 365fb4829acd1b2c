package attempt

import (
	"endpin/piece"
	"endpin/piece/outline"
	"endpin/ui/desk/timetable"
)

// shiftAhead is how long before it a shift is told, s: time to think of it.
const shiftAhead = 4.0

// Cueing are the cues while somebody bows silently.
type Cueing struct {
	Now, Next, Ahead *timetable.Cue // see Cues.At
	Counting         bool           // the count-in: Next is what to be ready for
	Supposed         bool           // the page has no bow marks up to here
}

// Cued are the cues of one attempt, worked out once.
type Cued struct {
	all  timetable.Cues
	bars *timetable.Timetable
}

// Cued works out the cues, with the bows of an outline of the piece.
func (a *Attempt) Cued(o *outline.Outline) *Cued {
	return &Cued{a.table.Cues(a.score, o), a.table}
}

// At gives the cues where an attempt is.
func (x *Cued) At(l Live) (c Cueing) {
	c.Now, c.Next, c.Ahead = x.all.At(l.time(x.bars), shiftAhead)
	c.Counting = l.Phase == Counting
	for _, x := range []*timetable.Cue{c.Now, c.Next} {
		c.Supposed = c.Supposed || x != nil && x.Bow != piece.NoBow && x.Supposed
	}
	return c
}

// time is where an attempt stands in its timetable, s.
func (l Live) time(t *timetable.Timetable) float64 {
	if at, ok := t.When(l.Measure, l.Share); ok {
		return at
	}
	if l.Phase == Counting || l.Time < t.End-t.Start { // before the first note
		return t.Start - 1e-3
	}
	return t.End
}
