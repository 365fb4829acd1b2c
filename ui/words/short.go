package words

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/widget"
)

// Short lets a long text end in an ellipsis: a window is no wider for it.
type Short struct {
	widget.BaseWidget
	text  *canvas.Text
	whole string
}

// NewShort is one of a text.
func NewShort(t *canvas.Text) *Short {
	s := &Short{text: t, whole: t.Text}
	s.ExtendBaseWidget(s)
	return s
}

// CreateRenderer implements fyne.Widget.
func (s *Short) CreateRenderer() fyne.WidgetRenderer { return widget.NewSimpleRenderer(s.text) }

// MinSize implements fyne.Widget.
func (s *Short) MinSize() fyne.Size { return fyne.NewSize(120, s.text.MinSize().Height) }

// Resize cuts the text for the width.
func (s *Short) Resize(size fyne.Size) {
	s.BaseWidget.Resize(size)
	r := []rune(s.whole)
	s.text.Text = s.whole
	for len(r) > 1 && fyne.MeasureText(s.text.Text, s.text.TextSize, s.text.TextStyle).Width > size.Width {
		r = r[:len(r)-1]
		s.text.Text = string(r) + " …"
	}
	s.text.Refresh()
}
