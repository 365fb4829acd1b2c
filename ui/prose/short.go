package prose

import (
	"strings"

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

// Say says something else.
func (s *Short) Say(text string) {
	s.whole = text
	s.cut()
}

// Needs is how wide it is where nothing is cut.
func (s *Short) Needs() float32 { return s.wide(s.whole) }

func (s *Short) wide(text string) float32 {
	return fyne.MeasureText(text, s.text.TextSize, s.text.TextStyle).Width
}

// CreateRenderer implements fyne.Widget.
func (s *Short) CreateRenderer() fyne.WidgetRenderer { return widget.NewSimpleRenderer(s.text) }

// MinSize implements fyne.Widget.
func (s *Short) MinSize() fyne.Size { return fyne.NewSize(120, s.text.MinSize().Height) }

// Resize cuts the text for the width.
func (s *Short) Resize(size fyne.Size) {
	s.BaseWidget.Resize(size)
	s.cut()
}

func (s *Short) cut() {
	s.text.Text = s.whole
	for r := []rune(s.whole); len(r) > 1 && s.wide(s.text.Text) > s.Size().Width; {
		r = r[:len(r)-1]
		s.text.Text = string(r) + " …"
	}
	if kept, cut := strings.CutSuffix(s.text.Text, " …"); cut && s.text.Text != s.whole { // whole words, where there are several
		if i := strings.LastIndex(kept, " "); i > len(kept)/2 {
			s.text.Text = kept[:i] + " …"
		}
	}
	s.text.Refresh()
}

// Says is the whole text.
func (s *Short) Says() string { return s.whole }
