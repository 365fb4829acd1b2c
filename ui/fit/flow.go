package fit

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"
)

// Folding is an object whose height hangs on the width that it gets.
type Folding interface{ HeightFor(width float32) float32 }

// HeightOf is the height that an object asks for at a width.
func HeightOf(o fyne.CanvasObject, width float32) float32 {
	if t, is := o.(Folding); is {
		return t.HeightFor(width)
	}
	return o.MinSize().Height
}

// flow sets objects one under the other, each as high as its width asks.
type flow struct{ width float32 }

// MinSize implements fyne.Layout.
func (f *flow) MinSize(all []fyne.CanvasObject) fyne.Size {
	height := float32(0)
	for _, o := range all {
		height += HeightOf(o, f.width)
	}
	return fyne.NewSize(100, height)
}

// Layout implements fyne.Layout.
func (f *flow) Layout(all []fyne.CanvasObject, size fyne.Size) {
	y := float32(0)
	for _, o := range all {
		h := HeightOf(o, size.Width)
		o.Move(fyne.NewPos(0, y))
		o.Resize(fyne.NewSize(size.Width, h))
		y += h
	}
}

// Reading is objects one under the other, each as high as its width asks, that
// scroll.
type Reading struct {
	widget.BaseWidget
	flow   *flow
	body   *fyne.Container
	scroll *container.Scroll
}

// BesideBar is the room that a scroll bar has.
const BesideBar = 14

// NewReading is one with nothing in it.
func NewReading() *Reading {
	r := &Reading{flow: &flow{width: 400}}
	r.body = container.New(r.flow)
	r.scroll = container.NewVScroll(ClearOfBar(r.body))
	r.ExtendBaseWidget(r)
	return r
}

// CreateRenderer implements fyne.Widget.
func (r *Reading) CreateRenderer() fyne.WidgetRenderer { return widget.NewSimpleRenderer(r.scroll) }

// MinSize is small: it takes what it gets.
func (r *Reading) MinSize() fyne.Size { return fyne.NewSize(200, 100) }

// Resize lays everything out for the width.
func (r *Reading) Resize(size fyne.Size) {
	r.flow.width = size.Width - BesideBar
	r.BaseWidget.Resize(size)
	r.scroll.Refresh()
}

// Set sets other objects out, from the top.
func (r *Reading) Set(all ...fyne.CanvasObject) {
	r.body.Objects = all
	r.scroll.ScrollToTop()
	r.body.Refresh()
	r.scroll.Refresh()
}

// Top is how far it is scrolled down.
func (r *Reading) Top() float32 { return r.scroll.Offset.Y }

// To scrolls to where it was scrolled down to.
func (r *Reading) To(top float32) {
	r.scroll.Offset.Y = 0
	r.By(top / max(1, r.scroll.Size().Height))
}

// By scrolls on by a part of what is seen.
func (r *Reading) By(share float32) {
	top := r.scroll.Content.MinSize().Height - r.scroll.Size().Height
	r.scroll.Offset.Y = max(0, min(top, r.scroll.Offset.Y+share*r.scroll.Size().Height))
	r.scroll.Refresh()
}

// ClearOfBar leaves room for a scroll bar at the right.
func ClearOfBar(o fyne.CanvasObject) *fyne.Container { return container.New(inset{BesideBar}, o) }

type inset struct{ right float32 }

// MinSize implements fyne.Layout.
func (i inset) MinSize(all []fyne.CanvasObject) fyne.Size {
	return all[0].MinSize().AddWidthHeight(i.right, 0)
}

// Layout implements fyne.Layout.
func (i inset) Layout(all []fyne.CanvasObject, size fyne.Size) {
	all[0].Resize(fyne.NewSize(size.Width-i.right, size.Height))
}
