package desk

import "endpin/piece/words"

// closing is what the closer look is turned to.
type closing struct {
	of      *Shown
	measure int
	time    int
	set     int // findings dismissed when it was laid out
	look    *Closer
}

// Closer is the measure looked at closer, nil while none is. It closes by itself
// where an attempt begins or another take is shown.
func (d *Desk) Closer() *Closer {
	c := &d.closing
	if c.look == nil || d.Running || c.of != d.Shown {
		return nil
	}
	if n := len(d.Shown.Take.Dismissed); n != c.set {
		c.set = n
		c.look = c.of.look(d.Score, c.measure, c.time)
	}
	return c.look
}

// LookCloser turns the closer look to a measure of the take shown, an index.
// Where the take is not about it, the desk says so.
func (d *Desk) LookCloser(measure int) { d.lookCloser(measure, -1) }

func (d *Desk) lookCloser(measure, time int) {
	if d.Shown == nil || d.Running || measure < 0 || measure >= len(d.Score.Piece.Measures) {
		return
	}
	look := d.Shown.look(d.Score, measure, time)
	if look == nil {
		d.Say(words.Say("desk.closer.elsewhere", "measure", d.Score.Piece.Measures[measure].Number))
		return
	}
	d.StopPlaying()
	d.say("")
	d.closing = closing{of: d.Shown, measure: measure, time: look.Time, set: len(d.Shown.Take.Dismissed), look: look}
	d.tell()
}

// LookAt turns the closer look to where a finding of the take shown begins, and
// reports whether it has a measure of its own.
func (d *Desk) LookAt(i int) bool {
	if d.Shown == nil || d.Running || i < 0 || i >= len(d.Shown.Hearing.Findings) {
		return false
	}
	if !d.HasMeasure(i) {
		return false
	}
	f, measure := &d.Shown.Hearing.Findings[i], d.MeasureOf(i)
	for k, b := range d.Shown.times(d.Score, measure) {
		if !b.given && b.at.Pass == f.Pass {
			d.lookCloser(measure, k)
			return true
		}
	}
	return false
}

// HasMeasure reports whether a finding of the take shown is about a place in it,
// and not about the whole take.
func (d *Desk) HasMeasure(i int) bool {
	return !wholeTake(d.Shown.Hearing.Findings[i].Kind) && d.MeasureOf(i) >= 0
}

// MeasureOf is the index of the measure in which a finding of the take shown
// begins, -1 where it is none of the piece's.
func (d *Desk) MeasureOf(i int) int {
	f := &d.Shown.Hearing.Findings[i]
	measures := d.Score.Piece.Measures
	if k := f.First + lineOffset(d.Score, d.Shown.Hearing); f.First >= 0 && k >= 0 && k < len(d.Score.Line) {
		// Printed numbers need not be unlike; an extra note may stand in the next measure.
		for m := d.Score.Line[k].Measure; m < len(measures); m++ {
			if measures[m].Number == f.Measure {
				return m
			}
		}
	}
	for m := range measures {
		if measures[m].Number == f.Measure {
			return m
		}
	}
	return -1
}

// Neighbour turns the closer look to the next measure of the take, or the one
// before.
func (d *Desk) Neighbour(by int) {
	c := d.Closer()
	if c == nil {
		return
	}
	for m := c.Measure + by; m >= 0 && m < len(d.Score.Piece.Measures); m += by {
		if len(d.Shown.times(d.Score, m)) > 0 {
			d.lookCloser(m, -1)
			return
		}
	}
}

// OtherTime turns the closer look to another time that the measure was played.
func (d *Desk) OtherTime(time int) {
	if c := d.Closer(); c != nil && time >= 0 && time < len(c.Times) && time != c.Time {
		d.lookCloser(c.Measure, time)
	}
}

// LookAway closes the closer look.
func (d *Desk) LookAway() {
	d.StopPlaying()
	d.closing = closing{}
	d.tell()
}
