package desk

import (
	"endpin/piece"
	"endpin/piece/outline"
	"endpin/ui/desk/timetable"
	"endpin/ui/desk/work"
)

// shiftAhead is how long before it a shift is told, s: time to think of it.
const shiftAhead = 4.0

// Cueing are the cues while somebody bows silently.
type Cueing struct {
	Now, Next, Ahead *timetable.Cue // see Cues.At
	Counting         bool           // the count-in: Next is what to be ready for
	Supposed         bool           // the page has no bow marks up to here
}

// cued is the cues of the attempt going on, worked out once.
type cued struct {
	of   *run
	all  timetable.Cues
	bars *timetable.Timetable
}

// Cueing gives the cues now; ok is false unless somebody bows silently.
func (d *Desk) Cueing() (c Cueing, ok bool) {
	if !d.Running || d.run == nil || d.Work.Way != work.BowSilently {
		return c, false
	}
	if d.cued.of != d.run {
		d.cued = cued{of: d.run, bars: timetable.New(d.Score, d.Work)}
		o, err := d.outline()
		if err != nil {
			o = &outline.Outline{}
		}
		d.cued.all = d.cued.bars.Cues(d.Score, o)
	}
	at := d.Live.time(d.cued.bars)
	c.Now, c.Next, c.Ahead = d.cued.all.At(at, shiftAhead)
	c.Counting = d.Live.Phase == Counting
	for _, x := range []*timetable.Cue{c.Now, c.Next} {
		c.Supposed = c.Supposed || x != nil && x.Bow != piece.NoBow && x.Supposed
	}
	return c, true
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
