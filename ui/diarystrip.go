package ui

import (
	"image"
	"math"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/widget"

	"endpin/piece/report"
	"endpin/ui/page"
)

// strip draws every landing of one shift over the weeks, as the page to print
// does: the same geometry, in the desk's ink.
type strip struct {
	widget.BaseWidget
	row     report.ShiftRow
	colours page.Colours
	picture *canvas.Raster
	texts   []*canvas.Text
}

// enlarged is how much larger the strip is drawn than on paper, where its type is
// 10 units high.
const enlarged = 1.3

func newStrip(row report.ShiftRow, c page.Colours) *strip {
	s := &strip{row: row, colours: c}
	s.picture = canvas.NewRaster(s.draw)
	s.ExtendBaseWidget(s)
	return s
}

// geometry is the strip in the size that it has.
func (s *strip) geometry() report.Strip {
	size := s.Size()
	return s.row.Strip(float64(size.Width/enlarged), float64(size.Height/enlarged))
}

// draw paints all but the words.
func (s *strip) draw(w, h int) image.Image {
	g, c := s.geometry(), s.colours
	p := newPaint(w, h, s.Size().Width/enlarged)
	left, right := float64(g.Left), float64(g.Right)
	p.rect(left, float64(g.BandTop), right, float64(g.BandTop+g.BandHeight), mix(c.Paper, c.Ink, 0.1))
	for _, d := range g.Dates {
		for y := float64(g.Top); y < float64(g.Bottom); y += 4 {
			p.rect(float64(d.At)-0.3, y, float64(d.At)+0.3, y+1.6, mix(c.Paper, c.Soft, 0.6))
		}
	}
	p.rect(left, float64(g.Zero)-0.4, right, float64(g.Zero)+0.4, c.Soft)
	for _, k := range g.Weeks {
		if k.Sure {
			p.veil(float64(k.From), float64(k.High), float64(k.To), float64(k.Low), c.Cursor, 0.16)
			p.frame(float64(k.From), float64(k.High), float64(k.To), float64(k.Low), 0.8, c.Cursor)
		}
	}
	for _, d := range g.Dots {
		x, y := float64(d.X), float64(d.Y)
		if d.Out == 0 {
			p.ring(x, y, 1.9, 0.9, c.Soft)
			continue
		}
		up := float64(d.Out) // beyond the edge: a small triangle that points out
		for k := range 4 {
			p.rect(x-0.9*float64(k)-0.4, y+up*(float64(k)*1.2)-0.6, x+0.9*float64(k)+0.4, y+up*(float64(k)*1.2)+0.6, c.Ink)
		}
	}
	for _, k := range g.Weeks {
		p.rect(float64(k.From), float64(k.Y)-1.6, float64(k.To), float64(k.Y)+1.6, c.Cursor)
	}
	return p.to
}

// CreateRenderer implements fyne.Widget.
func (s *strip) CreateRenderer() fyne.WidgetRenderer { return &stripRenderer{s} }

type stripRenderer struct{ s *strip }

func (r *stripRenderer) Layout(size fyne.Size) {
	s := r.s
	s.picture.Move(fyne.NewPos(0, 0))
	s.picture.Resize(size)
	g := s.geometry()
	s.texts = nil
	put := func(text string, x, y float64, end bool) {
		t := canvas.NewText(text, s.colours.Soft)
		t.TextSize = 10 * enlarged
		m := t.MinSize()
		at := fyne.NewPos(float32(x)*enlarged, float32(y)*enlarged-m.Height/2)
		if end {
			t.Color = s.colours.Ink
			at.X -= m.Width
		}
		t.Move(at)
		t.Resize(m)
		s.texts = append(s.texts, t)
	}
	for _, c := range g.Cents {
		put(c.Text, float64(g.Left)-4, float64(c.At), true)
	}
	for _, d := range g.Dates {
		put(d.Text, float64(d.At)+2, float64(g.Bottom)+9, false)
	}
	const words = 46 // that the axis leaves free between its numbers, units
	if middle := float64(g.Zero); middle > words {
		put("sharp", float64(g.Left)-4, middle-(middle-float64(g.Cents[0].At))/2, true)
		put("flat", float64(g.Left)-4, middle+(float64(g.Cents[2].At)-middle)/2, true)
		for _, t := range s.texts[len(s.texts)-2:] {
			t.Color = s.colours.Soft
		}
	}
}

func (r *stripRenderer) MinSize() fyne.Size { return fyne.NewSize(260, 150) }
func (r *stripRenderer) Refresh()           { r.Layout(r.s.Size()); r.s.picture.Refresh() }
func (r *stripRenderer) Destroy()           {}
func (r *stripRenderer) Objects() []fyne.CanvasObject {
	all := []fyne.CanvasObject{r.s.picture}
	for _, t := range r.s.texts {
		all = append(all, t)
	}
	return all
}

// verdictShape draws the shape that stands beside a verdict's word.
func verdictShape(name string, c page.Colours) *canvas.Raster {
	triangle := func(x, y, base, tip, half float64) bool { // lies on its side
		along := (x - base) / (tip - base)
		return along >= 0 && along <= 1 && math.Abs(y) <= half*(1-along)
	}
	box := func(x, y, x0, y0, w, h float64) bool { return x >= x0 && x <= x0+w && y >= y0 && y <= y0+h }
	in := map[string]func(x, y float64) bool{
		"closing": func(x, y float64) bool { return triangle(x, y, -6, -0.8, 5.5) || triangle(x, y, 6, 0.8, 5.5) },
		"opening": func(x, y float64) bool { return triangle(x, y, -1, -6, 5.5) || triangle(x, y, 1, 6, 5.5) },
		"holding": func(x, y float64) bool { return box(x, y, -6, -3.6, 12, 2.4) || box(x, y, -6, 1.2, 12, 2.4) },
		"scattered": func(x, y float64) bool {
			return box(x, y, -5, -5, 2.6, 2.6) || box(x, y, 2, -3.5, 2.6, 2.6) || box(x, y, -2.5, 0, 2.6, 2.6) || box(x, y, 2.6, 2.6, 2.6, 2.6)
		},
		"few": func(x, y float64) bool { return box(x, y, -1.4, -1.4, 2.8, 2.8) },
	}[name]
	return canvas.NewRaster(func(w, h int) image.Image {
		p := newPaint(w, h, 12)
		if in != nil {
			p.inside(func(x, y float64) bool { return in(x-6, y-6) }, c.Ink)
		}
		return p.to
	})
}
