package prose

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/widget"
)

// Entry is a line to type in. Enter takes over what was typed, and Escape leaves it
// as it was; where that is done the keys are the desk's again.
type Entry struct {
	widget.Entry
	before string // what stood there when it was entered
	Left   func() // called where the keys go elsewhere; nil for nothing
}

// NewEntry is an empty one. take is handed what was typed, and says whether it was
// taken over; where it was not the entry stays entered, to be mended.
func NewEntry(take func(string) bool) *Entry {
	e := &Entry{}
	e.ExtendBaseWidget(e)
	e.OnSubmitted = taking(e, take)
	return e
}

// FocusGained implements fyne.Focusable.
func (e *Entry) FocusGained() { e.before = e.Text; e.Entry.FocusGained() }

// FocusLost implements fyne.Focusable.
func (e *Entry) FocusLost() {
	if e.Entry.FocusLost(); e.Left != nil {
		e.Left()
	}
}

// TypedKey implements fyne.Focusable.
func (e *Entry) TypedKey(k *fyne.KeyEvent) {
	if !escaped(e, e.before, k) {
		e.Entry.TypedKey(k)
	}
}

// Entered reports whether somebody is typing in it.
func (e *Entry) Entered() bool { return entered(e) }

// Choice is an Entry that also offers what may be chosen.
type Choice struct {
	widget.SelectEntry
	before string
}

// NewChoice is an empty one; take is as of NewEntry.
func NewChoice(take func(string) bool) *Choice {
	c := &Choice{}
	c.ExtendBaseWidget(c)
	c.Wrapping = fyne.TextWrap(fyne.TextTruncateClip) // one line
	c.OnSubmitted = taking(c, take)
	return c
}

// FocusGained implements fyne.Focusable.
func (c *Choice) FocusGained() { c.before = c.Text; c.SelectEntry.FocusGained() }

// TypedKey implements fyne.Focusable.
func (c *Choice) TypedKey(k *fyne.KeyEvent) {
	if !escaped(c, c.before, k) {
		c.SelectEntry.TypedKey(k)
	}
}

// Entered reports whether somebody is typing in it.
func (c *Choice) Entered() bool { return entered(c) }

// typed is what both are.
type typed interface {
	fyne.CanvasObject
	fyne.Focusable
	SetText(string)
}

func taking(e typed, take func(string) bool) func(string) {
	return func(text string) {
		if take(text) {
			leave(e)
		}
	}
}

// escaped leaves an entry as it was where the key is Escape, and with it the dialogue in which
// it stands; it says whether it is.
func escaped(e typed, before string, k *fyne.KeyEvent) bool {
	if k.Name != fyne.KeyEscape {
		return false
	}
	e.SetText(before)
	leave(e)
	if c := fyne.CurrentApp().Driver().CanvasForObject(e); c != nil && c.Overlays().Top() != nil && c.OnTypedKey() != nil {
		c.OnTypedKey()(k)
	}
	return true
}

func leave(e fyne.CanvasObject) {
	if c := fyne.CurrentApp().Driver().CanvasForObject(e); c != nil {
		c.Unfocus()
	}
}

func entered(e typed) bool {
	c := fyne.CurrentApp().Driver().CanvasForObject(e)
	return c != nil && c.Focused() == fyne.Focusable(e)
}
