package ui

import (
	"image/color"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"
)

// folding is an object whose height hangs on the width that it gets.
type folding interface{ heightFor(width float32) float32 }

func heightOf(o fyne.CanvasObject, width float32) float32 {
	if t, is := o.(folding); is {
		return t.heightFor(width)
	}
	return o.MinSize().Height
}

// flow sets objects one under the other, each as high as its width asks.
type flow struct{ width float32 }

// MinSize implements fyne.Layout.
func (f *flow) MinSize(all []fyne.CanvasObject) fyne.Size {
	height := float32(0)
	for _, o := range all {
		height += heightOf(o, f.width)
	}
	return fyne.NewSize(100, height)
}

// Layout implements fyne.Layout.
func (f *flow) Layout(all []fyne.CanvasObject, size fyne.Size) {
	y := float32(0)
	for _, o := range all {
		h := heightOf(o, size.Width)
		o.Move(fyne.NewPos(0, y))
		o.Resize(fyne.NewSize(size.Width, h))
		y += h
	}
}

// reading is a flow that scrolls.
type reading struct {
	widget.BaseWidget
	flow   *flow
	body   *fyne.Container
	scroll *container.Scroll
}

// besideBar is the room that the scroll bar has.
const besideBar = 14

func newReading() *reading {
	r := &reading{flow: &flow{width: 400}}
	r.body = container.New(r.flow)
	r.scroll = container.NewVScroll(container.New(&inset{right: besideBar}, r.body))
	r.ExtendBaseWidget(r)
	return r
}

// CreateRenderer implements fyne.Widget.
func (r *reading) CreateRenderer() fyne.WidgetRenderer { return widget.NewSimpleRenderer(r.scroll) }

// MinSize is small: it takes what it gets.
func (r *reading) MinSize() fyne.Size { return fyne.NewSize(200, 100) }

// Resize lays everything out for the width.
func (r *reading) Resize(size fyne.Size) {
	r.flow.width = size.Width - besideBar
	r.BaseWidget.Resize(size)
	r.scroll.Refresh()
}

// show sets other objects out, from the top.
func (r *reading) show(all ...fyne.CanvasObject) {
	r.body.Objects = all
	r.scroll.ScrollToTop()
	r.body.Refresh()
	r.scroll.Refresh()
}

// by scrolls on by a part of what is seen.
func (r *reading) by(share float32) {
	top := r.scroll.Content.MinSize().Height - r.scroll.Size().Height
	r.scroll.Offset.Y = max(0, min(top, r.scroll.Offset.Y+share*r.scroll.Size().Height))
	r.scroll.Refresh()
}

// inset leaves room at the right.
type inset struct{ right float32 }

// MinSize implements fyne.Layout.
func (i *inset) MinSize(all []fyne.CanvasObject) fyne.Size {
	return all[0].MinSize().AddWidthHeight(i.right, 0)
}

// Layout implements fyne.Layout.
func (i *inset) Layout(all []fyne.CanvasObject, size fyne.Size) {
	all[0].Resize(fyne.NewSize(size.Width-i.right, size.Height))
}

// space is room between two objects.
func space(height float32) fyne.CanvasObject {
	r := canvas.NewRectangle(color.Transparent)
	r.SetMinSize(fyne.NewSize(1, height))
	return r
}

// para is running text that breaks where its width asks.
type para struct {
	widget.BaseWidget
	text   string
	size   float32
	bold   bool
	colour color.Color
	lines  []*canvas.Text
	width  float32
}

func newPara(text string, size float32, bold bool, colour color.Color) *para {
	p := &para{text: text, size: size, bold: bold, colour: colour}
	p.ExtendBaseWidget(p)
	return p
}

// leading is how far apart the lines are, in sizes of the type.
const leading = 1.36

func (p *para) heightFor(width float32) float32 {
	p.set(width)
	return float32(len(p.lines)) * p.size * leading
}

// set breaks the text into lines.
func (p *para) set(width float32) {
	if width == p.width {
		return
	}
	p.width, p.lines = width, nil
	style := fyne.TextStyle{Bold: p.bold}
	fits := func(s string) bool { return fyne.MeasureText(s, p.size, style).Width <= width }
	line := ""
	put := func() {
		t := canvas.NewText(line, p.colour)
		t.TextSize, t.TextStyle = p.size, style
		p.lines = append(p.lines, t)
		line = ""
	}
	for _, word := range strings.Fields(p.text) {
		switch {
		case line == "":
			line = word
		case fits(line + " " + word):
			line += " " + word
		default:
			put()
			line = word
		}
		for !fits(line) && len([]rune(line)) > 1 { // one word wider than the column
			r := []rune(line)
			cut := len(r) - 1
			for cut > 1 && !fits(string(r[:cut])) {
				cut--
			}
			line = string(r[:cut])
			put()
			line = string(r[cut:])
		}
	}
	if line != "" {
		put()
	}
}

// MinSize implements fyne.CanvasObject.
func (p *para) MinSize() fyne.Size { return fyne.NewSize(10, float32(len(p.lines))*p.size*leading) }

// CreateRenderer implements fyne.Widget.
func (p *para) CreateRenderer() fyne.WidgetRenderer { return &paraRenderer{p} }

type paraRenderer struct{ p *para }

func (r *paraRenderer) Layout(size fyne.Size) {
	r.p.set(size.Width)
	for i, t := range r.p.lines {
		t.Move(fyne.NewPos(0, (float32(i)+(leading-1.2)/2)*r.p.size*leading))
		t.Resize(t.MinSize())
	}
}
func (r *paraRenderer) MinSize() fyne.Size { return r.p.MinSize() }
func (r *paraRenderer) Refresh()           { r.Layout(r.p.Size()) }
func (r *paraRenderer) Destroy()           {}
func (r *paraRenderer) Objects() []fyne.CanvasObject {
	all := make([]fyne.CanvasObject, len(r.p.lines))
	for i, t := range r.p.lines {
		all[i] = t
	}
	return all
}
