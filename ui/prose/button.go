package prose

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/widget"
)

// Button is one that Return presses where the keys have come to it by Tab. All other keys
// stay the desk's: the space bar starts and the pedals do, whatever was pressed before.
type Button struct {
	widget.Button
	size float32 // of its label; 0 for that of the window's words
}

// NewButton is one with a label.
func NewButton(label string, tapped func()) *Button {
	b := &Button{}
	b.ExtendBaseWidget(b)
	b.Text, b.OnTapped = label, tapped
	return b
}

// Tapped implements fyne.Tappable.
func (b *Button) Tapped(e *fyne.PointEvent) {
	b.Button.Tapped(e)
	if c := fyne.CurrentApp().Driver().CanvasForObject(b); c != nil && c.Focused() == fyne.Focusable(b) {
		c.Unfocus()
	}
}

// TypedKey implements fyne.Focusable.
func (b *Button) TypedKey(k *fyne.KeyEvent) {
	switch k.Name {
	case fyne.KeyReturn, fyne.KeyEnter:
		if !b.Disabled() {
			b.Tapped(nil)
		}
	case fyne.KeyEscape:
		leave(b)
	default:
		pass(b, k)
	}
}

// TypedRune implements fyne.Focusable.
func (b *Button) TypedRune(r rune) { passRune(b, r) }

// pass hands a key on to the window, as though the keys had come to nothing in it.
func pass(o fyne.CanvasObject, k *fyne.KeyEvent) {
	if c := fyne.CurrentApp().Driver().CanvasForObject(o); c != nil && c.OnTypedKey() != nil {
		c.OnTypedKey()(k)
	}
}

// passRune does so with a key that writes.
func passRune(o fyne.CanvasObject, r rune) {
	if c := fyne.CurrentApp().Driver().CanvasForObject(o); c != nil && c.OnTypedRune() != nil {
		c.OnTypedRune()(r)
	}
}
