package pieces

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/widget"

	"endpin/piece/words"
	"endpin/ui/fit"
	"endpin/ui/ink"
	"endpin/ui/prose"
)

// ready is the piece that stands ready, written large: at 26 a capital is 3 mm high on a
// laptop's 1920 by 1080, five minutes of arc two metres away.
type ready struct {
	widget.BaseWidget
	s      *Screen
	ground *canvas.Rectangle
	title  *prose.Short
	said   *prose.Short
	far    *prose.Fit
	next   *prose.Fit
	texts  [4]*canvas.Text
	open   *prose.Button
	forget *prose.Button
}

const (
	readyHigh  = 186
	readyTitle = 34
	readyLarge = 26
	openWide   = 190 // at least
	openHigh   = 84
	readySmall = 700 // of a width: what is far and what comes next go under the button
	openLow    = 56
)

func newReady(s *Screen) *ready {
	r := &ready{s: s, ground: canvas.NewRectangle(color.Transparent)}
	r.ground.CornerRadius = 4
	for i, size := range []float32{readyTitle, 18, readyLarge, readyLarge} {
		r.texts[i] = canvas.NewText("", color.Black)
		r.texts[i].TextSize = size
	}
	r.texts[0].TextStyle.Bold = true
	r.title, r.said = prose.NewShort(r.texts[0]), prose.NewShort(r.texts[1])
	r.far, r.next = prose.NewFit(r.texts[2]), prose.NewFit(r.texts[3])
	r.open = prose.NewButton(words.Say("window.pieces.ready.open"), func() { s.win.Canvas().Unfocus(); s.shelf.OpenReady() })
	r.open.Importance = widget.HighImportance
	r.forget = prose.NewButton(words.Say("window.pieces.forget"), s.forget)
	r.forget.Importance = widget.LowImportance
	r.ExtendBaseWidget(r)
	return r
}

// show writes down the piece that stands ready.
func (r *ready) show(c ink.Colours) {
	shelf := r.s.shelf
	p := shelf.Ready()
	if p == nil {
		return
	}
	now := r.s.desk.Now()
	title, far, next := p.Title, p.Far(), p.Next()
	if when := p.When(now); when != "" {
		far = about(far, words.Say("window.pieces.when", "day", when))
	}
	switch {
	case shelf.Reading != "":
		next = words.Say("window.pieces.reading", "file", shelf.Reading)
	case p.Demo && next == "":
		next = words.Say("window.pieces.demo")
	}
	r.ground.FillColor = c.Chosen
	r.texts[0].Color, r.texts[1].Color = c.Ink, c.Ink
	r.title.Say(title)
	r.said.Say(p.Said())
	r.far.Say(far, c.Ink)
	r.next.Say(next, c.Ink)
	fit.Hide(r.forget, p.Demo)
	r.Refresh()
}

// CreateRenderer implements fyne.Widget.
func (r *ready) CreateRenderer() fyne.WidgetRenderer {
	return &readyRenderer{r, []fyne.CanvasObject{r.ground, r.title, r.said, r.far, r.next, r.open, r.forget}}
}

type readyRenderer struct {
	r   *ready
	all []fyne.CanvasObject
}

func (x *readyRenderer) Layout(size fyne.Size) {
	const edge = 12
	r := x.r
	r.ground.Resize(size)
	wide := max(openWide, r.open.MinSize().Width, r.forget.MinSize().Width)
	high := float32(openHigh)
	narrow := size.Width < readySmall
	if narrow {
		high = openLow
	}
	y := float32(8)
	for i, o := range []fyne.CanvasObject{r.title, r.said, r.far, r.next} {
		h := fyne.MeasureText("", r.texts[i].TextSize, r.texts[i].TextStyle).Height
		if i > 1 {
			h = fyne.MeasureText("", readyLarge, fyne.TextStyle{}).Height
		}
		w := size.Width - 3*edge - wide
		if narrow && (i == 2 || i == 3 && !r.forget.Visible()) {
			w = size.Width - 2*edge
		}
		o.Move(fyne.NewPos(edge, y))
		o.Resize(fyne.NewSize(w, h))
		y += h
	}
	left := size.Width - edge - wide
	r.open.Move(fyne.NewPos(left, edge+4))
	r.open.Resize(fyne.NewSize(wide, high))
	r.forget.Move(fyne.NewPos(left, size.Height-edge-r.forget.MinSize().Height))
	r.forget.Resize(fyne.NewSize(wide, r.forget.MinSize().Height))
}

func (x *readyRenderer) MinSize() fyne.Size           { return fyne.NewSize(400, readyHigh) }
func (x *readyRenderer) Refresh()                     { x.Layout(x.r.Size()); canvas.Refresh(x.r.ground) }
func (x *readyRenderer) Destroy()                     {}
func (x *readyRenderer) Objects() []fyne.CanvasObject { return x.all }
