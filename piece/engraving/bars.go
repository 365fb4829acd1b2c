package engraving

import (
	"math"

	"endpin/piece"
)

// Distances in staff spaces that no standard gives; common practice, no source.
const (
	quarterSpace = 3.5 // ideal room of a quarter note, from head to head
	leadIn       = 1.3 // from a barline to the first note
	between      = 0.35
	afterHead    = 0.6 // from the last note to the barline
	dotGap       = 0.35
	accGap       = 0.22
	graceScale   = 0.62
	graceStep    = 1.15
	wideRest     = 6.0 // the least room of a rest that fills a measure
)

// roomOf is the ideal room after a note: by the square root of its length, so
// that twice the length takes 1.4 times the room (Gould, Behind Bars, spacing, from memory).
func roomOf(d piece.Ticks) float64 {
	return quarterSpace * math.Sqrt(max(d.Quarters(), 1.0/32))
}

// bar is one measure before it has a place.
type bar struct {
	index int
	m     *piece.Measure
	cols  []column

	before *piece.Measure
	acc    []rune
	stems  []int // by note: -1 up, +1 down, 0 none
	groups [][]int
	whole  bool    // one rest fills it
	need   float64 // least width, for what stands under or over it
	clef   rune    // the next bar's new clef, which stands before the barline

	leftSign, rightSign barline
}

type barline int

const (
	noLine barline = iota
	thin
	doubled
	final
	repeatEnd
	repeatStart
)

var lineWidth = map[barline]float64{
	noLine: 0, thin: thinBarlineThickness, doubled: 2*thinBarlineThickness + barlineSeparation,
	final:       thinBarlineThickness + barlineSeparation + thickBarlineThickness,
	repeatEnd:   thinBarlineThickness + barlineSeparation + thickBarlineThickness + 0.6,
	repeatStart: thinBarlineThickness + barlineSeparation + thickBarlineThickness + 0.7,
}

// column is one place of a bar: a note or rest and the grace notes before it.
type column struct {
	note        int // index into Measure.Notes; -1 where only grace notes stand
	graces      []int
	left, right float64 // what it takes on either side of its origin
	ideal       float64 // to the next
}

// newBar measures one bar. tied tells whether a note is tied from the one before.
func newBar(p *piece.Piece, i int, o *Options, tied func(measure, note int) bool) *bar {
	m := &p.Measures[i]
	b := &bar{index: i, m: m, rightSign: thin}
	if i > 0 {
		b.before = &p.Measures[i-1]
	}
	if _, last := o.bounds(p); i+1 < last && p.Measures[i+1].Clef != m.Clef {
		b.clef = clefGlyph(p.Measures[i+1].Clef, true)
	}
	switch {
	case m.RepeatTimes > 0:
		b.rightSign = repeatEnd
	case i == len(p.Measures)-1 || m.Fine && m.DoubleBar:
		b.rightSign = final
	case m.DoubleBar:
		b.rightSign = doubled
	}
	if m.RepeatStart {
		b.leftSign = repeatStart
	}
	b.acc = accidentals(m, func(n int) bool { return tied(i, n) })
	b.whole = len(m.Notes) == 1 && m.Notes[0].Rest
	b.groups = beamGroups(m)
	b.stems = stems(m, b.groups)
	b.columns()
	b.need = needOf(o.Under[i])
	if len(m.Notes) == 0 {
		b.need = max(b.need, wideRest) // to be written in
	}
	if s := o.Labels[i]; s != "" {
		b.need = max(b.need, textWidth(s, labelSize, Bold)+1.5)
	}
	return b
}

func (b *bar) columns() {
	var graces []int
	for i := range b.m.Notes {
		n := &b.m.Notes[i]
		if n.Grace {
			graces = append(graces, i)
			continue
		}
		end := b.m.Length
		for j := i + 1; j < len(b.m.Notes); j++ {
			if !b.m.Notes[j].Grace {
				end = b.m.Notes[j].Start
				break
			}
		}
		c := column{note: i, graces: graces, ideal: roomOf(max(end-n.Start, 1))}
		c.right = headWidth(n) + float64(n.Dots)*(dotGap+0.4)
		if n.Articulated.Breath {
			c.right += 1
		}
		if flagsOf(n) > 0 && !n.Rest && b.stems[i] < 0 && !b.beamed(i) {
			c.right += 0.9
		}
		if b.acc[i] != 0 {
			c.left += boxes[b.acc[i]].right + accGap
		}
		for _, g := range graces {
			c.left += graceStep
			if b.acc[g] != 0 {
				c.left += boxes[b.acc[g]].right*graceScale + accGap
			}
		}
		if len(graces) > 0 {
			c.left += 0.4
		}
		b.cols, graces = append(b.cols, c), nil
	}
	if len(graces) > 0 { // before the barline
		b.cols = append(b.cols, column{note: -1, graces: graces, left: graceStep * float64(len(graces)), ideal: 0.5})
	}
}

func (b *bar) beamed(note int) bool {
	for _, g := range b.groups {
		for _, i := range g {
			if i == note {
				return true
			}
		}
	}
	return false
}

func headWidth(n *piece.Note) float64 {
	if n.Rest {
		return boxes[restGlyphs[valueOf(n)]].right
	}
	return boxes[headGlyph(valueOf(n))].right
}

// prefix is what stands before the notes: at the start of a system clef, key
// and time, inside one what changes. A change of clef stands before the barline.
func (b *bar) prefix(starts, first bool) (clef, key, time bool) {
	if starts {
		return true, true, first || b.before == nil || b.m.Time != b.before.Time
	}
	if b.before == nil {
		return false, false, false
	}
	return false, b.m.Key.Fifths != b.before.Key.Fifths, b.m.Time != b.before.Time
}

// clefRoom is what a new clef takes before the barline.
func (b *bar) clefRoom() float64 {
	if b.clef == 0 {
		return 0
	}
	return boxes[b.clef].right + 0.5
}

// rigid is what does not stretch; at the start of a system with its signatures.
func (b *bar) rigid(starts, first bool) float64 {
	return b.signatures(nil, 0, starts, first) + lineWidth[b.rightSign] + leadIn + afterHead + b.clefRoom()
}

// width of the bar when its ideals are multiplied by stretch.
func (b *bar) width(stretch float64, starts, first bool) float64 {
	w := b.rigid(starts, first)
	if b.whole {
		return max(w+wideRest*max(stretch, 0.7), b.need)
	}
	if len(b.cols) > 0 {
		w += b.cols[0].left
	}
	for i := range b.cols {
		w += b.gap(i, stretch)
	}
	return max(w, b.need)
}

// gap from column i to the next, or to the end.
func (b *bar) gap(i int, stretch float64) float64 {
	c := &b.cols[i]
	least := c.right + 0.1
	if i+1 < len(b.cols) {
		least = c.right + b.cols[i+1].left + between
	}
	return max(least, c.ideal*stretch)
}
