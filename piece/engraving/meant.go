package engraving

// How the bracket under the notes meant is drawn, staff spaces (common practice, no source).
const (
	meantUnder = 0.8 // below what stands there
	meantThick = 0.28
	meantTick  = 0.7
)

// meant draws a bracket under the notes meant; where they go on in another line it is open.
func (e *engraver) meant() {
	w := e.o.Meant
	if w == nil {
		return
	}
	before := func(m, n, m2, n2 int) bool { return m < m2 || m == m2 && n < n2 }
	var first, last *placed
	for _, h := range e.notes {
		if before(h.measure, h.note, w.Measure, w.Note) || before(w.ToMeasure, w.ToNote, h.measure, h.note) {
			continue
		}
		if first == nil {
			first = h
		}
		last = h
	}
	if first == nil {
		return
	}
	e.now = first.measure
	l, r := first.x-0.35, last.x+last.width+0.35
	y := e.down.at(l, r) + meantUnder + meantTick
	e.put(Under, Rect{l, y, r - l, meantThick})
	if first.measure == w.Measure && first.note == w.Note {
		e.put(Under, Rect{l, y - meantTick, meantThick, meantTick})
	}
	if last.measure == w.ToMeasure && last.note == w.ToNote {
		e.put(Under, Rect{r - meantThick, y - meantTick, meantThick, meantTick})
	}
}
