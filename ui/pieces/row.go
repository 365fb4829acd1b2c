package pieces

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/widget"

	"endpin/piece/words"
	"endpin/ui/ink"
	"endpin/ui/prose"
)

// row is one piece in the list: its title and when it was played last, and how far it is.
type row struct {
	widget.BaseWidget
	s      *Screen
	ground *canvas.Rectangle
	title  *prose.Short
	about  *prose.Short
	texts  [2]*canvas.Text
	when   *canvas.Text
}

const (
	rowHigh  = 62
	rowTitle = 23
	rowAbout = 17
)

func newRow(s *Screen) *row {
	r := &row{s: s, ground: canvas.NewRectangle(color.Transparent), when: canvas.NewText("", color.Black)}
	r.ground.CornerRadius = 4
	for i, size := range []float32{rowTitle, rowAbout} {
		r.texts[i] = canvas.NewText("", color.Black)
		r.texts[i].TextSize = size
	}
	r.texts[0].TextStyle.Bold = true
	r.title, r.about = prose.NewShort(r.texts[0]), prose.NewShort(r.texts[1])
	r.when.TextSize, r.when.Alignment = rowAbout, fyne.TextAlignTrailing
	r.ExtendBaseWidget(r)
	return r
}

// show writes down a piece of the list.
func (r *row) show(i int) {
	list := r.s.shelf.List()
	if i >= len(list) {
		return
	}
	p, c := list[i], ink.Look{Dark: r.s.desk.Settings.Dark}.Colours()
	title := p.Title
	if p.Demo {
		title = words.Say("window.pieces.row.demo", "title", title)
	}
	r.ground.FillColor = color.Transparent
	if i == r.s.shelf.At() {
		r.ground.FillColor = c.Chosen
	}
	r.texts[0].Color, r.texts[1].Color = c.Ink, c.Soft
	if i == r.s.shelf.At() {
		r.texts[1].Color = c.Ink
	}
	r.title.Say(title)
	r.about.Say(about(p.Said(), p.Far()))
	r.when.Text, r.when.Color = p.When(r.s.desk.Now()), r.texts[1].Color
	r.Refresh()
}

// CreateRenderer implements fyne.Widget.
func (r *row) CreateRenderer() fyne.WidgetRenderer {
	return &rowRenderer{r, []fyne.CanvasObject{r.ground, r.title, r.about, r.when}}
}

type rowRenderer struct {
	r   *row
	all []fyne.CanvasObject
}

func (x *rowRenderer) Layout(size fyne.Size) {
	const edge, between = 12, 14
	r := x.r
	r.ground.Resize(size)
	when := r.when.MinSize()
	r.when.Move(fyne.NewPos(size.Width-edge-when.Width, 8))
	r.when.Resize(when)
	r.title.Move(fyne.NewPos(edge, 3))
	r.title.Resize(fyne.NewSize(size.Width-2*edge-between-when.Width, r.texts[0].MinSize().Height))
	r.about.Move(fyne.NewPos(edge, 33))
	r.about.Resize(fyne.NewSize(size.Width-2*edge, r.texts[1].MinSize().Height))
}

func (x *rowRenderer) MinSize() fyne.Size { return fyne.NewSize(300, rowHigh) }
func (x *rowRenderer) Refresh() {
	x.Layout(x.r.Size())
	canvas.Refresh(x.r.ground)
	canvas.Refresh(x.r.when)
}
func (x *rowRenderer) Destroy()                     {}
func (x *rowRenderer) Objects() []fyne.CanvasObject { return x.all }
