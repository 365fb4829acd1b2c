package pen

import (
	"image"
	"image/color"
	"math"

	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/vector"

	"endpin/piece/engraving"
	"endpin/ui/letters"
)

// Pen fills outlines into a picture. One staff space is Space pixels, and the
// picture's corner lies at (Left, Top) on the page, in staff spaces.
type Pen struct {
	To        *image.RGBA
	Space     float64
	Left, Top float64
	raster    vector.Rasterizer
	path      []segment
}

// segment is a step of an outline, in pixels of the picture.
type segment struct {
	op sfnt.SegmentOp
	p  [3][2]float64
}

// At is a place on the page, as pixels of the picture.
func (p *Pen) At(x, y float64) [2]float64 {
	return [2]float64{(x - p.Left) * p.Space, (y - p.Top) * p.Space}
}

// MoveTo and LineTo lead the path on, in pixels.
func (p *Pen) MoveTo(a [2]float64) {
	p.path = append(p.path, segment{sfnt.SegmentOpMoveTo, [3][2]float64{a}})
}
func (p *Pen) LineTo(a [2]float64) {
	p.path = append(p.path, segment{sfnt.SegmentOpLineTo, [3][2]float64{a}})
}
func (p *Pen) cubeTo(a, b, c [2]float64) {
	p.path = append(p.path, segment{sfnt.SegmentOpCubeTo, [3][2]float64{a, b, c}})
}

// Fill paints the path, in the part of the picture that it touches, and begins
// another.
func (p *Pen) Fill(c color.Color) {
	path := p.path
	p.path = p.path[:0]
	x0, y0, x1, y1 := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, s := range path {
		for i := range letters.Points(s.op) {
			x0, x1 = min(x0, s.p[i][0]), max(x1, s.p[i][0])
			y0, y1 = min(y0, s.p[i][1]), max(y1, s.p[i][1])
		}
	}
	box := image.Rect(int(math.Floor(x0)), int(math.Floor(y0)), int(math.Ceil(x1))+1, int(math.Ceil(y1))+1)
	if box.Intersect(p.To.Bounds()).Empty() {
		return
	}
	p.raster.Reset(box.Dx(), box.Dy())
	f := func(a [2]float64) (float32, float32) {
		return float32(a[0] - float64(box.Min.X)), float32(a[1] - float64(box.Min.Y))
	}
	for _, s := range path {
		ax, ay := f(s.p[0])
		bx, by := f(s.p[1])
		cx, cy := f(s.p[2])
		switch s.op {
		case sfnt.SegmentOpMoveTo:
			p.raster.ClosePath()
			p.raster.MoveTo(ax, ay)
		case sfnt.SegmentOpLineTo:
			p.raster.LineTo(ax, ay)
		case sfnt.SegmentOpQuadTo:
			p.raster.QuadTo(ax, ay, bx, by)
		case sfnt.SegmentOpCubeTo:
			p.raster.CubeTo(ax, ay, bx, by, cx, cy)
		}
	}
	p.raster.ClosePath()
	p.raster.Draw(p.To, box, image.NewUniform(c), image.Point{})
}

// outline adds a font's outline with its origin at (x, y) on the page; unit is
// font units a staff space.
func (p *Pen) outline(s sfnt.Segments, x, y, unit float64) {
	for _, g := range s {
		n := segment{op: g.Op}
		for i := range letters.Points(g.Op) {
			n.p[i] = p.At(x+float64(g.Args[i].X)/unit, y+float64(g.Args[i].Y)/unit)
		}
		p.path = append(p.path, n)
	}
}

// Item draws one item of an engraved page.
func (p *Pen) Item(it engraving.Item, c color.Color) {
	switch s := it.Shape.(type) {
	case engraving.Glyph:
		if o, unit, err := letters.Music(s.Rune); err == nil && s.Scale > 0 {
			p.outline(o, s.X, s.Y, unit/s.Scale)
		}
	case engraving.Rect:
		p.Rect(s.X, s.Y, s.Width, s.Height)
	case engraving.Polygon:
		for i, q := range s {
			if i == 0 {
				p.MoveTo(p.At(q.X, q.Y))
			} else {
				p.LineTo(p.At(q.X, q.Y))
			}
		}
	case engraving.Curve:
		q := func(i int) [2]float64 { return p.At(s.P[i].X, s.P[i].Y) }
		p.MoveTo(q(0))
		p.cubeTo(q(1), q(2), q(3))
		p.cubeTo(q(4), q(5), q(0))
	case engraving.Text:
		x := s.X
		if w := letters.Width(s.String, s.Size, s.Style); s.Align == engraving.Middle {
			x -= w / 2
		} else if s.Align == engraving.End {
			x -= w
		}
		p.Text(s.String, x, s.Y, s.Size, s.Style, c)
		return
	}
	if len(p.path) > 0 {
		p.Fill(c)
	}
}

// Rect adds a rectangle to the path, staff spaces.
func (p *Pen) Rect(x, y, w, h float64) {
	// A thin line keeps to whole pixels, so that all staff lines look alike.
	a, b := p.At(x, y), p.At(x+w, y+h)
	if thin := b[1] - a[1]; thin < 4 {
		thick := whole(thin)
		a[1] = math.Round(a[1] + thin/2 - thick/2)
		b[1] = a[1] + thick
	}
	if thin := b[0] - a[0]; thin < 4 {
		thick := whole(thin)
		a[0] = math.Round(a[0] + thin/2 - thick/2)
		b[0] = a[0] + thick
	}
	p.MoveTo(a)
	p.LineTo([2]float64{b[0], a[1]})
	p.LineTo(b)
	p.LineTo([2]float64{a[0], b[1]})
}

// whole is the thickness of a line in pixels: a half is rounded up, so that lines of
// one thickness stay alike wherever they stand.
func whole(thin float64) float64 { return max(1, math.Floor(thin+0.55)) }

// Text writes a line of words with its baseline at y and an em of size.
func (p *Pen) Text(s string, x, y, size float64, style engraving.Style, c color.Color) {
	f := letters.Of(style)
	for _, r := range s {
		g := f.Letter(r)
		if len(g.Outline) > 0 {
			p.outline(g.Outline, x, y, letters.Em/size)
			p.Fill(c)
		}
		x += g.Advance * size
	}
}

// Disc paints a disc of a radius, staff spaces.
func (p *Pen) Disc(x, y, r float64, c color.Color) {
	const corners = 24
	for k := range corners {
		s, co := math.Sincos(2 * math.Pi * float64(k) / corners)
		if a := p.At(x+r*co, y+r*s); k == 0 {
			p.MoveTo(a)
		} else {
			p.LineTo(a)
		}
	}
	p.Fill(c)
}
