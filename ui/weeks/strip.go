package weeks

import (
	"image"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/widget"

	"endpin/piece/report/progress"
	"endpin/piece/words"
	"endpin/ui/ink"
)

// strip draws every landing of one shift over the weeks, as the page to print
// does: the same geometry, in the desk's ink.
type strip struct {
	widget.BaseWidget
	row     progress.ShiftRow
	colours ink.Colours
	picture *canvas.Raster
	texts   []*canvas.Text
}

// enlarged is how much larger the strip is drawn than on paper, where its type is
// 10 units high.
const enlarged = 1.3

func newStrip(row progress.ShiftRow, c ink.Colours) *strip {
	s := &strip{row: row, colours: c}
	s.picture = canvas.NewRaster(s.draw)
	s.ExtendBaseWidget(s)
	return s
}

// geometry is the strip in the size that it has.
func (s *strip) geometry() progress.Strip {
	size := s.Size()
	return s.row.Strip(float64(size.Width/enlarged), float64(size.Height/enlarged))
}

// draw paints all but the words.
func (s *strip) draw(w, h int) image.Image {
	g, c := s.geometry(), s.colours
	k := ink.OfPixels(w, h, s.Size().Width/enlarged)
	left, right, top, bottom := float32(g.Left), float32(g.Right), float32(g.Top), float32(g.Bottom)
	k.Block(left, float32(g.BandTop), right, float32(g.BandTop+g.BandHeight), ink.Mixed(c.Paper, c.Ink, 0.1))
	for _, d := range g.Dates {
		for y := top; y < bottom; y += 4 {
			k.Block(float32(d.At)-0.3, y, float32(d.At)+0.3, y+1.6, ink.Mixed(c.Paper, c.Soft, 0.6))
		}
	}
	k.Block(left, float32(g.Zero)-0.4, right, float32(g.Zero)+0.4, c.Soft)
	for _, week := range g.Weeks {
		if week.Sure {
			veil := c.Cursor
			veil.A = 41
			from, to, high, low := float32(week.From), float32(week.To), float32(week.High), float32(week.Low)
			k.Block(from, high, to, low, veil)
			k.Edge(from, high, to, low, 0.8, c.Cursor)
		}
	}
	for _, d := range g.Dots {
		x, y := float32(d.X), float32(d.Y)
		if d.Out == 0 {
			k.Ring(x, y, 1.9, 0.9, c.Soft)
			continue
		}
		up := float32(d.Out) // beyond the edge: a small triangle that points out
		k.Fill(c.Ink, []fyne.Position{{X: x, Y: y - 0.6*up}, {X: x + 3.2, Y: y + 4.2*up}, {X: x - 3.2, Y: y + 4.2*up}})
	}
	for _, week := range g.Weeks {
		k.Block(float32(week.From), float32(week.Y)-1.6, float32(week.To), float32(week.Y)+1.6, c.Cursor)
	}
	return k.Image()
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
	free := float32(0) // where the next date may begin
	for _, d := range g.Dates {
		if x := float32(d.At) + 2; x*enlarged >= free {
			put(d.Text, float64(x), float64(g.Bottom)+9, false)
			free = x*enlarged + s.texts[len(s.texts)-1].MinSize().Width + 3
		}
	}
	const wordsNeed = 46 // that the axis leaves free between its numbers, units
	if middle := float64(g.Zero); middle > wordsNeed {
		put(words.Say("window.diary.sharp"), float64(g.Left)-4, middle-(middle-float64(g.Cents[0].At))/2, true)
		put(words.Say("window.diary.flat"), float64(g.Left)-4, middle+(float64(g.Cents[2].At)-middle)/2, true)
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

// verdictShapes stand beside the verdicts' words, about a middle: what comes
// nearer, what goes apart, what stays, what lies now here, now there.
var verdictShapes = map[string][][]fyne.Position{
	"closing":   {wedge(-6, -0.8), wedge(6, 0.8)},
	"opening":   {wedge(-1, -6), wedge(1, 6)},
	"holding":   {tile(-6, -3.6, 12, 2.4), tile(-6, 1.2, 12, 2.4)},
	"scattered": {tile(-5, -5, 2.6, 2.6), tile(2, -3.5, 2.6, 2.6), tile(-2.5, 0, 2.6, 2.6), tile(2.6, 2.6, 2.6, 2.6)},
	"few":       {tile(-1.4, -1.4, 2.8, 2.8)},
}

// wedge is a triangle that lies on its side, from its base to its tip.
func wedge(base, tip float32) []fyne.Position {
	return []fyne.Position{{X: base, Y: -5.5}, {X: tip, Y: 0}, {X: base, Y: 5.5}}
}

func tile(x, y, w, h float32) []fyne.Position {
	return []fyne.Position{{X: x, Y: y}, {X: x + w, Y: y}, {X: x + w, Y: y + h}, {X: x, Y: y + h}}
}

// verdictShape draws the shape that stands beside a verdict's word.
func verdictShape(name string, c ink.Colours) *canvas.Raster {
	return canvas.NewRaster(func(w, h int) image.Image {
		k := ink.OfPixels(w, h, 12)
		for _, outline := range verdictShapes[name] {
			moved := make([]fyne.Position, len(outline))
			for i, p := range outline {
				moved[i] = p.AddXY(6, 6)
			}
			k.Fill(c.Ink, moved)
		}
		return k.Image()
	})
}
