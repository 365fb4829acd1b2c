package prose

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"
)

// NewLarge is a button with its label in a size of its own.
//
// A theme of its own would do that too; but with it the toolkit forgets how wide every word in
// the window is, whenever anything is drawn anew.
func NewLarge(label string, size float32, tapped func()) *Button {
	b := NewButton(label, tapped)
	b.size = size
	return b
}

// Grow gives the label of a large button another size.
func (b *Button) Grow(size float32) {
	if b.size != size {
		b.size = size
		b.Refresh()
	}
}

// CreateRenderer implements fyne.Widget.
func (b *Button) CreateRenderer() fyne.WidgetRenderer {
	r := b.Button.CreateRenderer()
	if b.size == 0 {
		return r
	}
	l := &largeRenderer{WidgetRenderer: r, button: b, says: canvas.NewText("", nil)}
	l.says.TextStyle.Bold = true
	for _, o := range r.Objects() {
		if label, is := o.(*widget.RichText); is {
			l.label = label
			o = l.says
		}
		l.objects = append(l.objects, o)
	}
	l.write()
	return l
}

// largeRenderer draws a button as the toolkit does, but for its label.
type largeRenderer struct {
	fyne.WidgetRenderer
	button  *Button
	label   *widget.RichText // the toolkit's, which is not seen: it knows in which colour to write
	says    *canvas.Text
	objects []fyne.CanvasObject
}

func (r *largeRenderer) write() {
	text := r.label.Segments[0].(*widget.TextSegment)
	r.says.Text, r.says.TextSize = r.button.Text, r.button.size
	r.says.Color = r.button.Theme().Color(text.Style.ColorName, fyne.CurrentApp().Settings().ThemeVariant())
}

// Objects implements fyne.WidgetRenderer.
func (r *largeRenderer) Objects() []fyne.CanvasObject { return r.objects }

// MinSize implements fyne.WidgetRenderer.
func (r *largeRenderer) MinSize() fyne.Size {
	room := 2 * r.button.Theme().Size(theme.SizeNameInnerPadding)
	return r.says.MinSize().AddWidthHeight(room, room)
}

// Layout implements fyne.WidgetRenderer.
func (r *largeRenderer) Layout(size fyne.Size) {
	r.WidgetRenderer.Layout(size)
	m := r.says.MinSize()
	r.says.Move(fyne.NewPos((size.Width-m.Width)/2, (size.Height-m.Height)/2))
	r.says.Resize(m)
}

// Refresh implements fyne.WidgetRenderer.
func (r *largeRenderer) Refresh() {
	r.WidgetRenderer.Refresh() // which knows the colours
	r.write()
	r.Layout(r.button.Size())
	r.says.Refresh()
}
