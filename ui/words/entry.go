package words

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/widget"
)

// Entry is a line to type in. Enter takes over what was typed, and Escape leaves it
// as it was; where that is done the keys are the desk's again.
type Entry struct {
	widget.Entry
	before string // what stood there when it was entered
}

// NewEntry is an empty one. take is handed what was typed, and says whether it was
// taken over; where it was not the entry stays entered, to be mended.
func NewEntry(take func(string) bool) *Entry {
	e := &Entry{}
	e.ExtendBaseWidget(e)
	e.OnSubmitted = func(text string) {
		if take(text) {
			leave(e)
		}
	}
	return e
}

// FocusGained implements fyne.Focusable.
func (e *Entry) FocusGained() {
	e.before = e.Text
	e.Entry.FocusGained()
}

// TypedKey implements fyne.Focusable.
func (e *Entry) TypedKey(k *fyne.KeyEvent) {
	if k.Name == fyne.KeyEscape {
		e.SetText(e.before)
		leave(e)
		return
	}
	e.Entry.TypedKey(k)
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
	c.OnSubmitted = func(text string) {
		if take(text) {
			leave(c)
		}
	}
	return c
}

// FocusGained implements fyne.Focusable.
func (c *Choice) FocusGained() {
	c.before = c.Text
	c.SelectEntry.FocusGained()
}

// TypedKey implements fyne.Focusable.
func (c *Choice) TypedKey(k *fyne.KeyEvent) {
	if k.Name == fyne.KeyEscape {
		c.SetText(c.before)
		leave(c)
		return
	}
	c.SelectEntry.TypedKey(k)
}

// Entered reports whether somebody is typing in it.
func (c *Choice) Entered() bool { return entered(c) }

func leave(o fyne.CanvasObject) {
	if c := fyne.CurrentApp().Driver().CanvasForObject(o); c != nil {
		c.Unfocus()
	}
}

func entered(o interface {
	fyne.CanvasObject
	fyne.Focusable
}) bool {
	c := fyne.CurrentApp().Driver().CanvasForObject(o)
	return c != nil && c.Focused() == fyne.Focusable(o)
}
