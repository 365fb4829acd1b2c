package engraving

import "math"

// curves sets ties and slurs. One that runs on into the next system ends at the
// edge here and begins after the signatures there.
func (e *engraver) curves(last bool) {
	var sounding []*placed
	for _, h := range e.notes {
		if !h.rest {
			sounding = append(sounding, h)
		}
	}
	if len(sounding) == 0 {
		return
	}
	if e.tie {
		h := sounding[0]
		e.tieBetween(e.starts+0.2, h.x-0.1, h.y, e.tieSide(h), h.measure)
	}
	e.tie = false
	for i, h := range sounding {
		if !h.n.TieToNext {
			continue
		}
		from := h.x + h.width + 0.1 + float64(h.n.Dots)*(dotGap+0.4)
		switch {
		case i+1 < len(sounding) && sounding[i+1].n.MIDI == h.n.MIDI:
			e.tieBetween(from, sounding[i+1].x-0.1, h.y, e.tieSide(h), h.measure)
		case i+1 == len(sounding) && !last:
			e.tieBetween(from, e.width-0.3, h.y, e.tieSide(h), h.measure)
			e.tie = true
		}
	}
	var group []*placed
	begun := !e.slur
	for i, h := range sounding {
		if e.slur || h.n.SlurTo || h.n.SlurFrom && len(group) > 0 {
			group = append(group, h)
		}
		e.slur = h.n.SlurTo
		if !h.n.SlurTo && len(group) > 0 {
			e.slurOver(group, begun, true)
			group, begun = nil, true
		}
		if i == len(sounding)-1 && len(group) > 0 {
			e.slurOver(group, begun, false)
		}
	}
}

// tieSide is away from the stem: -1 over the note.
func (e *engraver) tieSide(h *placed) float64 {
	if h.dir > 0 || h.dir == 0 && h.y <= 2 {
		return -1
	}
	return 1
}

func (e *engraver) tieBetween(l, r, y, side float64, measure int) {
	if r-l < 1 {
		mid := (l + r) / 2
		l, r = mid-0.5, mid+0.5
	}
	e.now = measure
	y += side * 0.55
	e.curve(Point{l, y}, Point{r, y}, side, min(0.35+0.06*(r-l), 1)*4/3)
}

// slurOver sets a slur at the heads' side: above where any stem goes down, else
// below (Gould, Behind Bars, slurs, from memory).
func (e *engraver) slurOver(g []*placed, begins, ends bool) {
	side := 1.0
	for _, h := range g {
		if h.dir >= 0 {
			side = -1
		}
	}
	edge := func(h *placed) Point {
		y := h.y
		if float64(h.dir) == side { // at the stem's end
			y = h.tip
			return Point{h.stemX(), y + side*0.4}
		}
		y += side * 0.8
		if h.n.Articulated.Staccato {
			y += side * 0.6
		}
		return Point{h.middle(), y}
	}
	a, b := edge(g[0]), edge(g[len(g)-1])
	if !begins {
		a = Point{e.starts + 0.2, a.Y}
	}
	if !ends {
		b = Point{e.width - 0.3, b.Y}
	}
	if b.X-a.X < 1.5 { // one note after the edge, or before it
		if !begins {
			a.X = b.X - 1.5
		} else {
			b.X = a.X + 1.5
		}
	}
	flatten(&a, &b, side)
	e.now = g[0].measure
	h := min(0.9+0.07*(b.X-a.X), 2.6)
	for range 2 {
		if h = e.clearance(g, a, b, side, h); h < highestSlur {
			break
		}
		a.Y += side * 0.8
		b.Y += side * 0.8
	}
	e.curve(a, b, side, h)
}

// flatten keeps a slur from climbing like a ladder: its inner end gives way.
func flatten(a, b *Point, side float64) {
	limit := 0.35 * (b.X - a.X)
	if math.Abs(b.Y-a.Y) <= limit {
		return
	}
	outer := min(a.Y, b.Y)
	if side > 0 {
		outer = max(a.Y, b.Y)
	}
	for _, end := range []*Point{a, b} {
		if inner := outer - side*limit; side*end.Y < side*inner {
			end.Y = inner
		}
	}
}

// highestSlur is as far as a slur's controls lie away, staff spaces.
const highestSlur = 4.5

// clearance is how high a slur's controls lie, at least h, for it to clear what lies
// between its ends: its rise at u is 3u(1-u) of theirs.
func (e *engraver) clearance(g []*placed, a, b Point, side, h float64) float64 {
	clear := func(x, y float64) {
		if x < a.X+0.9 || x > b.X-0.9 {
			return
		}
		u := (x - a.X) / (b.X - a.X)
		need, bow := side*(y-a.Y-(b.Y-a.Y)*u)+0.35, 3*u*(1-u)
		if need > bow*h {
			h = min(need/bow, highestSlur)
		}
	}
	sky := e.down
	if side < 0 {
		sky = e.up
	}
	for k := 1; k < 24; k++ { // what stands out of the staff
		x := a.X + (b.X-a.X)*float64(k)/24
		if y := sky.at(x-0.1, x+0.1); y < 0 || y > 4 {
			clear(x, y)
		}
	}
	for _, n := range g[1 : len(g)-min(1, len(g)-1)] { // and the notes inside it
		y := n.y + side*0.5
		if float64(n.dir) == side {
			y = n.tip
		}
		clear(n.middle(), y)
	}
	return h
}

// curve draws a closed arch from a to b, its controls h away to a side.
func (e *engraver) curve(a, b Point, side, h float64) {
	in := min(0.28*(b.X-a.X), 3.5)
	dy := (b.Y - a.Y) / max(b.X-a.X, 0.1) * in
	thick := (slurMidpointThickness - slurEndpointThickness) * 4 / 3
	c1, c2 := Point{a.X + in, a.Y + dy + side*h}, Point{b.X - in, b.Y - dy + side*h}
	c := Curve{[6]Point{a, c1, c2, b, {c2.X, c2.Y - side*thick}, {c1.X, c1.Y - side*thick}}, slurEndpointThickness}
	for i := range c.P {
		c.P[i] = Point{round2(c.P[i].X), round2(c.P[i].Y)}
	}
	e.draw(Curves, c)
	sky := e.down
	if side < 0 {
		sky = e.up
	}
	for k := range 24 { // along the arch, not its box
		u := float64(k) / 24
		p, q := cubic(a, c1, c2, b, u), cubic(a, c1, c2, b, u+1.0/24)
		if side < 0 {
			sky.put(p.X, q.X, min(p.Y, q.Y)-0.05)
		} else {
			sky.put(p.X, q.X, max(p.Y, q.Y)+0.05)
		}
	}
}
