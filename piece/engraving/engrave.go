package engraving

import (
	"math"
	"slices"

	"endpin/piece"
	"endpin/piece/words"
)

// Engrave lays a piece out. A piece without measures gives an empty page.
func Engrave(p *piece.Piece, o Options) *Page {
	if o.Width <= 0 {
		o.Width = 100
	}
	if o.Strings == nil {
		o.Strings = []string{"G", "D", "A", "E"}
	}
	switch {
	case o.Margin == 0:
		o.Margin = 1
	case o.Margin < 0:
		o.Margin = 0
	}
	first, last := o.bounds(p)
	page := &Page{Title: p.Title, Width: o.Width}
	if first >= last {
		return page
	}
	tied := tiedFrom(p)
	var bars []*bar
	for i := first; i < last; i++ {
		bars = append(bars, newBar(p, i, &o, func(m, n int) bool { return tied[[2]int{m, n}] }))
	}
	lines := [][]*bar{bars}
	stretch := 1.15
	inner := o.Width - 2*o.Margin
	if o.OneLine {
		inner = widthOf(bars, stretch, true)
		page.Width = inner + 2*o.Margin
	} else {
		lines = breakLines(bars, inner)
	}
	e := newEngraver(p, &o, page)
	total := 0.0
	for i, line := range lines {
		s, tail := stretch, 0.0
		var next *bar
		if i+1 < len(lines) {
			next = lines[i+1][0]
			tail = next.courtesy(nil, 0)
		}
		if !o.OneLine {
			s = stretchOf(line, inner-tail, i == 0)
			if i == len(lines)-1 { // the last line: no wider than the others
				like := 1.3
				if i > 0 {
					like = 1.1 * total / float64(i)
				}
				s = min(s, like)
			}
			total += s
		}
		e.system(line, s, i == 0, next)
	}
	return page
}

// tiedFrom gives the notes that a tie joins to the one before.
func tiedFrom(p *piece.Piece) map[[2]int]bool {
	tied := map[[2]int]bool{}
	var last *piece.Note
	for m := range p.Measures {
		for i := range p.Measures[m].Notes {
			n := &p.Measures[m].Notes[i]
			if n.Grace {
				continue
			}
			if last != nil && last.TieToNext && !n.Rest && last.MIDI == n.MIDI {
				tied[[2]int{m, i}] = true
			}
			last = n
		}
	}
	return tied
}

// placed is a note with its place in a system.
type placed struct {
	measure, note int
	n             *piece.Note
	x, y, width   float64 // of the head: its left edge and its middle
	dir           int     // of the stem: -1 up, +1 down, 0 none
	tip           float64 // y of the stem's end
	rest          bool
	sul           string // the string to name over it
}

func (h *placed) middle() float64 { return h.x + h.width/2 }

// engraver sets system after system and keeps what runs on from one to the next.
type engraver struct {
	p     *piece.Piece
	o     *Options
	page  *Page
	hands map[[2]int]hand

	lastOf       map[int][2]int // the note that each hand frame ends on
	fine, toCoda bool           // the piece has such a place to jump to

	pizz    bool // plucked so far
	slur    bool // a slur runs on
	tie     bool
	strings stringNames
	frame   int // the hand frame last named, plus one

	// of the system being set; y 0 is the top staff line
	items    []Item
	notes    []*placed
	up, down *skyline
	sys      System
	starts   float64   // where the notes begin, after the signatures
	begins   []float64 // where tempo and labels of each bar begin
	width    float64
	now      int // the measure whose items are being made
}

func newEngraver(p *piece.Piece, o *Options, page *Page) *engraver {
	e := &engraver{p: p, o: o, page: page, hands: handsOf(o)}
	e.lastOf = lastOfFrames(e.hands)
	e.strings = stringNamesOf(p, o, e.hands)
	for i := range p.Measures {
		e.fine, e.toCoda = e.fine || p.Measures[i].Fine, e.toCoda || p.Measures[i].ToCoda
	}
	return e
}

// within moves words that begin too near the system's end to the left.
func (e *engraver) within(t Text) Text {
	t.X = max(0, min(t.X, e.width-textWidth(t.String, t.Size, t.Style)))
	return t
}

func (e *engraver) draw(c Class, s Shape) { e.items = append(e.items, Item{e.now, c, s}) }

// put draws and lets the skylines know.
func (e *engraver) put(c Class, s Shape) {
	e.draw(c, s)
	l, t, r, b := s.Bounds()
	e.up.put(l, r, t)
	e.down.put(l, r, b)
}

// over sets a shape, given with its foot at y 0, upon what stands between its
// sides, gap above it, and not lower than limit.
func (e *engraver) over(c Class, s Shape, gap, limit float64) {
	l, _, r, b := s.Bounds()
	y := min(e.up.at(l-0.15, r+0.15)-gap, limit)
	e.put(c, s.move(0, y-b))
}

// system sets one line of music; next is the bar that the line after it begins with.
func (e *engraver) system(bars []*bar, stretch float64, first bool, next *bar) {
	inner := widthOf(bars, stretch, first)
	e.width = inner
	if next != nil {
		e.width += next.courtesy(nil, 0)
	}
	e.items, e.notes, e.begins, e.sys = nil, nil, nil, System{}
	e.up, e.down = newSkyline(e.width, 0, -1), newSkyline(e.width, 4, 1)
	e.now = -1
	for i := range 5 {
		e.draw(Staff, Rect{0, float64(i) - staffLineThickness/2, e.width, staffLineThickness})
	}
	x := 0.0
	for i, b := range bars {
		e.now = b.index
		w := b.width(stretch, i == 0, first && i == 0)
		e.sys.Measures = append(e.sys.Measures, Box{b.index, x, w, b.m.Number, title(b, e.o.Under[b.index])})
		e.begins = append(e.begins, x+b.music(i == 0, first && i == 0))
		var after *bar
		if i+1 < len(bars) {
			after = bars[i+1]
		}
		afterEnd := i > 0 && bars[i-1].rightSign == repeatEnd
		e.bar(b, x, w, stretch, i == 0, first && i == 0, afterEnd, after)
		if i == 0 {
			e.starts = b.signatures(nil, 0, true, first)
		}
		x += w
	}
	if next != nil {
		e.now = bars[len(bars)-1].index
		next.courtesy(e, x)
	}
	e.tuplets()
	e.articles()
	e.curves(next == nil)
	e.nameStrings()
	e.fingers()
	e.numbers(bars)
	e.stringsNamed()
	e.plucked()
	e.dynamics()
	e.frames()
	e.words(bars)
	e.meant()
	e.remarks(bars)
	e.settle()
}

// title says a measure in words, for who cannot see it.
func title(b *bar, remarks []Remark) string {
	key := "engraving.measure"
	switch {
	case b.m.Implicit && b.index == 0:
		key = "engraving.pickup"
	case b.m.Implicit || b.m.Number == "":
		key = "engraving.unnumbered"
	}
	if len(remarks) == 0 {
		return words.Say(key, "number", b.m.Number)
	}
	var said []string
	for _, r := range remarks {
		said = append(said, r.Text)
	}
	return words.Say(key+".remarks", "number", b.m.Number, "remarks", words.Clauses(said...))
}

// settle puts the finished system under those before it.
func (e *engraver) settle() {
	top, bottom := 0.0, 4.0
	for _, y := range e.up.y {
		top = min(top, y)
	}
	for _, y := range e.down.y {
		bottom = max(bottom, y)
	}
	s := &e.sys
	s.Top = e.page.Height
	s.StaffTop = s.Top + 0.8 + e.o.Above - top
	s.Height = 1.6 + e.o.Above + e.o.Below + bottom - top
	slices.SortStableFunc(e.items, func(a, b Item) int { return a.Measure - b.Measure })
	s.First = len(e.page.Items)
	for _, it := range e.items {
		it.Shape = it.Shape.move(e.o.Margin, s.StaffTop)
		e.page.Items = append(e.page.Items, it)
	}
	s.Last = len(e.page.Items)
	for _, n := range e.notes {
		s.Notes = append(s.Notes, Anchor{n.measure, n.note, n.middle() + e.o.Margin, n.y + s.StaffTop})
	}
	for i := range s.Measures {
		s.Measures[i].X += e.o.Margin
	}
	e.page.Systems = append(e.page.Systems, *s)
	e.page.Height = s.Top + s.Height
}

func glyph(r rune, x, y float64) Glyph { return Glyph{r, x, y, 1} }

func round2(x float64) float64 { return math.Round(100*x) / 100 }
