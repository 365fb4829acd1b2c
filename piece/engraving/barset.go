package engraving

import (
	"math"

	"endpin/piece"
)

// signs goes through clef, key and time at a bar's start and gives where they end.
func (b *bar) signs(show func(r rune, x, y float64), x float64, starts, first bool) float64 {
	clef, key, time := b.prefix(starts, first)
	if clef || key || time {
		x += 0.7
	}
	if clef {
		r := clefGlyph(b.m.Clef, false)
		show(r, x, float64(5-sane(b.m.Clef).Line))
		x += boxes[r].right + 0.7
	}
	if key {
		x = b.keySignature(show, x, starts)
	}
	if time && b.m.Time.Unit > 0 {
		w := max(digitsWidth(b.m.Time.Beats), digitsWidth(b.m.Time.Unit))
		for i, n := range []int{b.m.Time.Beats, b.m.Time.Unit} {
			y := float64(1 + 2*i)
			at := x + (w-digitsWidth(n))/2
			for _, d := range digits(n) {
				show(timeSig0+rune(d), at, y)
				at += boxes[timeSig0+rune(d)].right + 0.08
			}
		}
		x += w + 0.5
	}
	return x
}

func (e *engraver) showSign(r rune, x, y float64) { e.put(Signature, glyph(r, x, y)) }

func unseen(rune, float64, float64) {}

// signatures tells the room of clef, key, time and a repeat sign at a bar's
// start, and where e is given draws them.
func (b *bar) signatures(e *engraver, x float64, starts, first bool) float64 {
	show := unseen
	if e != nil {
		show = e.showSign
	}
	end := b.signs(show, x, starts, first)
	if b.leftSign == repeatStart {
		if end > x {
			end += 0.2
		}
		end += lineWidth[repeatStart]
	}
	return end - x
}

// courtesy tells the room that b's new key and time take at the end of the line
// before, and where e is given draws them.
func (b *bar) courtesy(e *engraver, x float64) float64 {
	show := unseen
	if e != nil {
		show = e.showSign
	}
	return b.signs(show, x, false, false) - x
}

// music is where tempo and labels begin, from the bar's start: at the time
// signature, else at the first note.
func (b *bar) music(starts, first bool) float64 {
	at := -1.0
	b.signs(func(r rune, x, _ float64) {
		if r >= timeSig0 && r <= timeSig9 && (at < 0 || x < at) {
			at = x
		}
	}, 0, starts, first)
	if at >= 0 {
		return at
	}
	at = b.signatures(nil, 0, starts, first) + leadIn
	if len(b.cols) > 0 && !b.whole {
		at += b.cols[0].left
	}
	return at
}

func (b *bar) keySignature(show func(rune, float64, float64), x float64, starts bool) float64 {
	fifths, r := b.m.Key.Fifths, accidentalSharp
	if fifths < 0 {
		r = accidentalFlat
	}
	if fifths == 0 && !starts && b.before != nil { // to no signature: naturals say so
		fifths, r = b.before.Key.Fifths, accidentalNatural
	}
	ys := keyHeights(b.m.Clef, fifths)
	for _, y := range ys {
		show(r, x, y)
		x += boxes[r].right + 0.05
	}
	if len(ys) > 0 {
		x += 0.6
	}
	return x
}

func digits(n int) []int {
	if n < 10 {
		return []int{n}
	}
	return append(digits(n/10), n%10)
}

func digitsWidth(n int) float64 {
	w := -0.08
	for _, d := range digits(n) {
		w += boxes[timeSig0+rune(d)].right + 0.08
	}
	return w
}

// bar sets what stands in one bar but its curves and what stands over it.
func (e *engraver) bar(b *bar, x, w, stretch float64, starts, first, afterEnd bool, next *bar) {
	room := b.signatures(e, x, starts, first)
	if b.leftSign == repeatStart {
		at := x + room - lineWidth[repeatStart]
		if afterEnd && room == lineWidth[repeatStart] {
			at -= thickBarlineThickness // back to back
		}
		e.repeatLines(at, false)
	}
	end := x + w
	sign := b.rightSign
	if next != nil && next.leftSign == repeatStart && sign != repeatEnd {
		if c, k, t := next.prefix(false, false); !c && !k && !t {
			sign = noLine
		}
	}
	e.barline(sign, end)
	if b.clef != 0 {
		c := sane(e.p.Measures[b.index+1].Clef)
		e.showSign(b.clef, end-lineWidth[b.rightSign]-b.clefRoom()+0.1, float64(5-c.Line))
	}
	at := x + room + leadIn
	if b.whole {
		e.wholeRest(b, x+room, end-lineWidth[b.rightSign]-b.clefRoom())
		return
	}
	// What the bar is wider than its notes is shared out.
	spare, ideals := w-b.rigid(starts, first), 0.0
	for i := range b.cols {
		spare -= b.gap(i, stretch)
		ideals += b.cols[i].ideal
		if i == 0 {
			spare -= b.cols[i].left
			at += b.cols[i].left
		}
	}
	heads := make([]*placed, len(b.m.Notes))
	for i := range b.cols {
		c := &b.cols[i]
		if c.note >= 0 {
			heads[c.note] = e.head(b, c.note, at)
		}
		e.graces(b, c, at)
		at += b.gap(i, stretch)
		if spare > 0 {
			at += spare * c.ideal / ideals
		}
	}
	for _, g := range b.groups {
		e.beam(b, g, heads)
	}
	for i, h := range heads {
		if h != nil && h.dir != 0 && !b.beamed(i) {
			e.stem(h)
		}
	}
}

func (e *engraver) wholeRest(b *bar, from, to float64) {
	r := boxes[restWhole]
	x := (from+to)/2 - r.right/2
	e.put(Notes, glyph(restWhole, x, 1))
	e.notes = append(e.notes, &placed{measure: b.index, n: &b.m.Notes[0], x: x, y: 1.2, width: r.right, rest: true})
}

// head sets a note's head, dots, accidental and ledger lines, or a rest.
func (e *engraver) head(b *bar, i int, x float64) *placed {
	n := &b.m.Notes[i]
	v := valueOf(n)
	h := &placed{measure: b.index, note: i, n: n, x: x, y: 2, width: headWidth(n), rest: n.Rest, dir: b.stems[i]}
	e.notes = append(e.notes, h)
	dotY := 1.5
	if n.Rest {
		r := restGlyphs[v]
		y := 2.0
		if v <= 1 {
			y = 1
		}
		e.put(Notes, glyph(r, x, y))
	} else {
		h.y = heightOf(b.m.Clef, n.Spelling.Degree())
		e.ledgers(h.x, h.y, h.width, 1)
		e.put(Notes, glyph(headGlyph(v), x, h.y))
		if r := b.acc[i]; r != 0 {
			e.put(Notes, glyph(r, x-accGap-boxes[r].right, h.y))
		}
		dotY = h.y
		if math.Mod(math.Abs(h.y), 1) < 0.1 { // on a line: into the space above
			dotY -= 0.5
		}
	}
	for d := range n.Dots {
		dx := dotGap + float64(d)*(dotGap+0.4)
		if v >= 4 && h.dir < 0 && !b.beamed(i) && !n.Rest {
			dx += 0.3 // clear of the flag
		}
		e.put(Notes, glyph(augmentationDot, x+h.width+dx, dotY))
	}
	if n.Articulated.Breath {
		e.put(Articles, glyph(breathMarkComma, x+max(h.width, 1)+0.9, -0.3))
	}
	h.tip = h.y
	return h
}

// ledgers draws the ledger lines that a head at y needs.
func (e *engraver) ledgers(x, y, width, scale float64) {
	ext := legerLineExtension * scale
	for l := -1.0; l >= y-0.1; l-- {
		e.put(Notes, Rect{x - ext, l - legerLineThickness/2, width + 2*ext, legerLineThickness})
	}
	for l := 5.0; l <= y+0.1; l++ {
		e.put(Notes, Rect{x - ext, l - legerLineThickness/2, width + 2*ext, legerLineThickness})
	}
}

// stemX is the middle of the stem.
func (h *placed) stemX() float64 {
	if h.dir < 0 {
		return h.x + stemUpX - stemThickness/2
	}
	return h.x + stemDownX + stemThickness/2
}

func (e *engraver) drawStem(h *placed) {
	from := h.y + float64(h.dir)*stemDownY
	t, b := min(from, h.tip), max(from, h.tip)
	e.put(Notes, Rect{h.stemX() - stemThickness/2, t, stemThickness, b - t})
}

// stem sets the stem of a note alone, an octave long or to the middle line, and its flag.
func (e *engraver) stem(h *placed) {
	flags := flagsOf(h.n)
	d := float64(h.dir)
	h.tip = h.y + d*(stemLength+0.75*float64(max(flags-2, 0)))
	if d*(2-h.tip) > 0 {
		h.tip = 2
	}
	e.drawStem(h)
	if flags > 0 {
		r := flag8thUp + rune(2*(flags-1))
		if h.dir > 0 {
			r++
		}
		e.put(Notes, glyph(r, h.stemX()-stemThickness/2, h.tip))
	}
}

// beam sets the beams of a group and its stems.
func (e *engraver) beam(b *bar, g []int, heads []*placed) {
	var hs []*placed
	var xs, ys []float64
	most := 0
	flags := make([]int, len(g))
	for k, i := range g {
		h := heads[i]
		hs, xs, ys = append(hs, h), append(xs, h.stemX()), append(ys, h.y)
		flags[k] = flagsOf(h.n)
		most = max(most, flags[k])
	}
	dir := hs[0].dir
	line := layBeam(xs, ys, most, dir)
	for k, h := range hs {
		h.tip = line.at(xs[k])
		e.drawStem(h)
	}
	// From the stems' tips the beams lie toward the heads.
	level := func(n int, l, r float64) {
		off := -float64(dir) * beamAdvance * float64(n)
		in := -float64(dir) * beamThickness
		l, r = l-stemThickness/2, r+stemThickness/2
		e.put(Notes, Polygon{{l, line.at(l) + off}, {r, line.at(r) + off}, {r, line.at(r) + off + in}, {l, line.at(l) + off + in}})
	}
	for n := range most {
		for k := 0; k < len(g); k++ {
			if flags[k] <= n {
				continue
			}
			j := k
			for j+1 < len(g) && flags[j+1] > n {
				j++
			}
			switch {
			case j > k:
				level(n, xs[k], xs[j])
			case k == 0 || k+1 < len(g) && !dotted(hs[k-1].n):
				level(n, xs[k], xs[k]+1.1)
			default:
				level(n, xs[k]-1.1, xs[k])
			}
			k = j
		}
	}
}

func dotted(n *piece.Note) bool { return n.Dots > 0 }

// graces sets the small notes before a column.
func (e *engraver) graces(b *bar, c *column, at float64) {
	if len(c.graces) == 0 {
		return
	}
	x := at - c.left + 0.1
	var stemXs, tips []float64
	for _, i := range c.graces {
		n := &b.m.Notes[i]
		y := heightOf(b.m.Clef, n.Spelling.Degree())
		if r := b.acc[i]; r != 0 {
			e.put(Notes, Glyph{r, x, y, graceScale})
			x += boxes[r].right*graceScale + accGap
		}
		w := boxes[noteheadBlack].right * graceScale
		e.ledgers(x, y, w, graceScale)
		e.put(Notes, Glyph{noteheadBlack, x, y, graceScale})
		stemXs, tips = append(stemXs, x+stemUpX*graceScale), append(tips, min(y-2.4, 3))
		x += graceStep
	}
	top := tips[0]
	for _, t := range tips {
		top = min(top, t)
	}
	for k, i := range c.graces {
		y := heightOf(b.m.Clef, b.m.Notes[i].Spelling.Degree())
		e.put(Notes, Rect{stemXs[k] - 0.09, top, 0.09, y - 0.1 - top})
	}
	l, r := stemXs[0]-0.09, stemXs[len(stemXs)-1]
	if len(stemXs) > 1 {
		levels := max(1, min(2, flagsOf(&b.m.Notes[c.graces[0]])))
		for n := range levels {
			e.put(Notes, Rect{l, top + 0.48*float64(n), r - l, 0.3})
		}
		return
	}
	e.put(Notes, Glyph{flag8thUp, l, top, graceScale})
	e.put(Notes, Polygon{{l - 0.5, top + 1.35}, {l + 0.75, top + 0.35}, {l + 0.8, top + 0.43}, {l - 0.45, top + 1.43}})
}

// barline draws a line that ends at x.
func (e *engraver) barline(sign barline, x float64) {
	line := func(l, w float64) { e.draw(Staff, Rect{l, -staffLineThickness / 2, w, 4 + staffLineThickness}) }
	switch sign {
	case thin:
		line(x-thinBarlineThickness, thinBarlineThickness)
	case doubled:
		line(x-thinBarlineThickness, thinBarlineThickness)
		line(x-2*thinBarlineThickness-barlineSeparation, thinBarlineThickness)
	case final:
		line(x-thickBarlineThickness, thickBarlineThickness)
		line(x-thickBarlineThickness-barlineSeparation-thinBarlineThickness, thinBarlineThickness)
	case repeatEnd:
		e.repeatLines(x-lineWidth[final], true)
	}
}

// repeatLines draws a repeat sign; its lines begin at x.
func (e *engraver) repeatLines(x float64, ends bool) {
	line := func(l, w float64) { e.draw(Staff, Rect{l, -staffLineThickness / 2, w, 4 + staffLineThickness}) }
	dots := 0.0
	if ends {
		line(x, thinBarlineThickness)
		line(x+thinBarlineThickness+barlineSeparation, thickBarlineThickness)
		dots = x - repeatBarlineDotSeparation - boxes[repeatDot].right
	} else {
		line(x, thickBarlineThickness)
		line(x+thickBarlineThickness+barlineSeparation, thinBarlineThickness)
		dots = x + lineWidth[final] + repeatBarlineDotSeparation
	}
	e.draw(Staff, glyph(repeatDot, dots, 1.5))
	e.draw(Staff, glyph(repeatDot, dots, 2.5))
}
