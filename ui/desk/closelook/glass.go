package closelook

import (
	"endpin/dsp"
	"endpin/piece/finding"
	"endpin/piece/words"
	"endpin/ui/desk/errand"
	"endpin/ui/desk/playback"
	"endpin/ui/desk/score"
)

// Take is what lies on the desk's page to be looked at: the piece, a recording of it
// and what was heard there.
type Take struct {
	*score.Score
	Hearing *finding.Hearing
	Heard   *dsp.Heard

	Sound  string                      // the recording's file
	Aside  func(*finding.Finding) bool // the player put it aside
	Asides int                         // findings put aside so far
}

// Host is the desk under the glass. Its methods are called on the desk's goroutine.
type Host interface {
	Post(func())           // on that goroutine
	Changed()              // what is seen is another
	Say(sentence string)   // empty takes away what was said
	Fault(sentence string) // likewise; what does not go, and the mend
	Page() *Take           // the take whose findings stand there; nil for none
	Playing() bool         // an attempt goes on
	Player() playback.Player
}

// Glass is the closer look: the measure of the take on the page that it is turned to.
// It belongs to the desk's goroutine.
type Glass struct {
	Playback Playback // of the measure looked at
	Slowly   bool     // it is played slower, at the same pitch

	host    Host
	of      *finding.Hearing // of the take it was turned to
	measure int
	time    int
	aside   int // findings put aside when the measure was laid out
	look    *Look

	playing *errand.Errand // nil for nothing
}

// New lays a glass on a desk.
func New(h Host) Glass { return Glass{host: h} }

// Closer is the measure looked at closer, nil while none is. It closes by itself
// where an attempt begins or another take is shown.
func (g *Glass) Closer() *Look {
	t := g.host.Page()
	if g.look == nil || g.host.Playing() || t == nil || g.of != t.Hearing {
		return nil
	}
	if t.Asides != g.aside {
		g.aside = t.Asides
		g.look = t.Look(g.measure, g.time)
	}
	return g.look
}

// LookCloser turns to a measure of the take shown, an index. Where the take is not
// about it, the desk says so.
func (g *Glass) LookCloser(measure int) { g.turn(measure, -1) }

func (g *Glass) turn(measure, time int) {
	t := g.host.Page()
	if t == nil || g.host.Playing() || measure < 0 || measure >= len(t.Piece.Measures) {
		return
	}
	look := t.Look(measure, time)
	if look == nil {
		g.host.Say(words.Say("desk.closer.elsewhere", "measure", t.Piece.Measures[measure].Number))
		g.host.Changed()
		return
	}
	g.StopPlaying()
	g.host.Say("")
	g.of, g.measure, g.time, g.aside, g.look = t.Hearing, measure, look.Time, t.Asides, look
	g.host.Changed()
}

// LookAt turns to where a finding of the take shown begins, and reports whether it
// has a measure of its own.
func (g *Glass) LookAt(i int) bool {
	t := g.host.Page()
	if t == nil || g.host.Playing() || i < 0 || i >= len(t.Hearing.Findings) || !t.hasMeasure(i) {
		return false
	}
	f, measure := &t.Hearing.Findings[i], t.measureOf(i)
	for k, b := range t.times(measure) {
		if !b.given && b.at.Pass == f.Pass {
			g.turn(measure, k)
			return true
		}
	}
	return false
}

// HasMeasure reports whether a finding of the take shown is about a place in it,
// and not about the whole take.
func (g *Glass) HasMeasure(i int) bool {
	t := g.host.Page()
	return t != nil && t.hasMeasure(i)
}

func (t *Take) hasMeasure(i int) bool {
	return t.Hearing.Findings[i].Kind.Row().About != finding.WholeTake && t.measureOf(i) >= 0
}

// measureOf is the index of the measure in which a finding begins, -1 where it is
// none of the piece's.
func (t *Take) measureOf(i int) int {
	f := &t.Hearing.Findings[i]
	measures := t.Piece.Measures
	if k := f.First + t.Hearing.Offset(t.Line); f.First >= 0 && k >= 0 && k < len(t.Line) {
		// Printed numbers need not be unlike; an extra note may stand in the next measure.
		for m := t.Line[k].Measure; m < len(measures); m++ {
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

// Neighbour turns to the next measure of the take, or the one before.
func (g *Glass) Neighbour(by int) {
	c := g.Closer()
	if c == nil {
		return
	}
	for m := c.Measure + by; m >= 0 && m < len(c.take.Piece.Measures); m += by {
		if len(c.take.times(m)) > 0 {
			g.turn(m, -1)
			return
		}
	}
}

// OtherTime turns to another time that the measure was played.
func (g *Glass) OtherTime(time int) {
	if c := g.Closer(); c != nil && time >= 0 && time < len(c.Times) && time != c.Time {
		g.turn(c.Measure, time)
	}
}

// PlaySlowly has what is played sound slower at the same pitch, or as it was. What plays
// now ends.
func (g *Glass) PlaySlowly(yes bool) {
	g.StopPlaying()
	g.Slowly = yes
	g.host.Changed()
}

// LookAway closes the closer look.
func (g *Glass) LookAway() {
	g.StopPlaying()
	g.look = nil
	g.host.Changed()
}
