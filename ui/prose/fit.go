package prose

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/widget"
)

// Fit is a line of words that is as large as there is room for, in the height of its
// largest.
type Fit struct {
	widget.BaseWidget
	text *canvas.Text
	most float32
}

// NewFit is one of a text, whose size is the largest.
func NewFit(t *canvas.Text) *Fit {
	f := &Fit{text: t, most: t.TextSize}
	f.ExtendBaseWidget(f)
	return f
}

// Say says something else, or in another colour.
func (f *Fit) Say(text string, c color.Color) {
	if Rewrite(f.text, text, c) {
		Fitted(f.text, f.most, f.Size().Width)
		f.text.Refresh()
	}
}

// CreateRenderer implements fyne.Widget.
func (f *Fit) CreateRenderer() fyne.WidgetRenderer { return widget.NewSimpleRenderer(f.text) }

// MinSize implements fyne.CanvasObject.
func (f *Fit) MinSize() fyne.Size {
	return fyne.NewSize(100, fyne.MeasureText("", f.most, f.text.TextStyle).Height)
}

// Resize makes the words as large as they fit.
func (f *Fit) Resize(size fyne.Size) {
	Fitted(f.text, f.most, size.Width)
	f.BaseWidget.Resize(size)
}

// Fitted makes a text as large as it fits a width, most at most, and gives its size.
func Fitted(t *canvas.Text, most, width float32) fyne.Size {
	const least = 14
	before := t.TextSize
	for t.TextSize = most; t.TextSize > least && t.MinSize().Width > width; {
		t.TextSize *= 0.94
	}
	if t.TextSize != before {
		t.Refresh()
	}
	return t.MinSize()
}
