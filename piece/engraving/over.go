package engraving

import (
	"math"

	"endpin/piece"
)

// Sizes of words in staff spaces; common practice, no source.
const (
	numberSize = 1.45
	wordSize   = 1.9
	sulSize    = 1.5
	labelSize  = 2.0
	frameSize  = 1.5
	underSize  = 1.6
)

// tuplets sets the number of each tuplet on the beam's side, with a bracket
// where no beam holds its notes together.
func (e *engraver) tuplets() {
	for i := 0; i < len(e.notes); {
		h := e.notes[i]
		t := h.n.Tuplet
		if t.Actual == 0 {
			i++
			continue
		}
		// A tuplet fills Normal of some value: gather until it is full.
		j, sum := i, piece.Ticks(0)
		unit := h.n.Length
		for j < len(e.notes) && e.notes[j].n.Tuplet == t && e.notes[j].measure == h.measure {
			sum += e.notes[j].n.Length
			unit = min(unit, e.notes[j].n.Length)
			j++
			if sum >= unit*piece.Ticks(t.Actual) && sum%(unit*piece.Ticks(t.Actual)) == 0 {
				break
			}
		}
		e.tuplet(e.notes[i:j], t.Actual)
		i = j
	}
}

func (e *engraver) tuplet(g []*placed, number int) {
	up, beamed := 0, len(g) > 1
	for _, h := range g {
		up += h.dir
		beamed = beamed && !h.rest && flagsOf(h.n) > 0
	}
	side := 1.0
	if up <= 0 {
		side = -1
	}
	e.now = g[0].measure
	a, z := g[0], g[len(g)-1]
	l, r := a.x-0.1, z.x+z.width+0.1
	sky := e.down
	if side < 0 {
		sky = e.up
	}
	width := 0.0
	for _, d := range digits(number) {
		width += boxes[tuplet0+rune(d)].right
	}
	mid := (l + r) / 2
	y := sky.at(l, r) + side*0.5
	if beamed {
		mid = (a.stemX() + z.stemX()) / 2
		y = sky.at(mid-width/2, mid+width/2) + side*0.35
	}
	h := -boxes[tuplet0+3].top
	centre := y + side*h/2
	x := mid - width/2
	for _, d := range digits(number) {
		e.put(Articles, glyph(tuplet0+rune(d), x, centre+h/2))
		x += boxes[tuplet0+rune(d)].right
	}
	if beamed {
		return
	}
	t := tupletBracketThickness
	for _, s := range [][2]float64{{l, mid - width/2 - 0.3}, {mid + width/2 + 0.3, r}} {
		if s[1] > s[0] {
			e.put(Articles, Rect{s[0], centre - t/2, s[1] - s[0], t})
		}
	}
	for _, at := range []float64{l, r - t} { // the hooks point to the notes
		e.put(Articles, Rect{at, min(centre, centre-side*0.6), t, 0.6})
	}
}

// articles sets staccato dots at the heads, fermatas and bow marks over them.
func (e *engraver) articles() {
	for _, h := range e.notes {
		e.now = h.measure
		if h.n.Articulated.Staccato && !h.rest {
			if side := e.tieSide(h); side < 0 {
				y := min(h.y-1, -0.6)
				if h.y > 0.6 { // inside the staff it takes a space
					y = math.Ceil(h.y-1) - 0.5
					if y >= h.y-0.9 {
						y--
					}
				}
				e.put(Articles, glyph(articStaccatoAbove, h.middle()-boxes[articStaccatoAbove].right/2, y+boxes[articStaccatoAbove].bottom/2))
			} else {
				y := h.y + 1
				if h.y < 3.4 {
					y = math.Floor(h.y+1) + 0.5
					if y <= h.y+0.9 {
						y++
					}
				}
				e.put(Articles, glyph(articStaccatoBelow, h.middle()-boxes[articStaccatoBelow].right/2, y-boxes[articStaccatoBelow].bottom/2))
			}
		}
	}
}

// numbers sets the printed number over every measure, all at one height: it
// begins at the barline, or stands to its left where a finger or a ledger line
// is near, so that nobody reads the two as one. Only where that is not enough
// does it rise.
func (e *engraver) numbers(bars []*bar) {
	const gap, foot = 0.3, -0.5
	for i, b := range bars {
		if b.m.Implicit || b.m.Number == "" {
			continue
		}
		e.now = b.index
		x := e.sys.Measures[i].X
		t := Text{b.m.Number, max(0, x-0.1), 0, numberSize, Start, Italic}
		if i == 0 {
			e.over(Numbers, t, gap, foot)
			continue
		}
		w := textWidth(t.String, t.Size, t.Style)
		room := func(left float64) float64 { return e.up.at(left-0.25, left+w+0.45) }
		left := t.X
		for left > x-w-0.6 && room(left) < foot+0.1 {
			left -= skyStep
		}
		if room(left) >= foot+0.1 {
			t.X = left
			_, _, _, bottom := t.Bounds()
			e.put(Numbers, t.move(0, foot-bottom))
		} else {
			e.over(Numbers, t, gap, foot)
		}
	}
}
