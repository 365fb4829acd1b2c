package prose

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/widget"
)

// Drop is a list that drops down to be chosen from; where the keys have come to it, by
// Return. With the choice the keys are the desk's again, as they are with Escape, and the
// space bar and the pedals are so all the time.
type Drop struct{ widget.Select }

// NewDrop offers some options; chosen is handed the one chosen, nil for nothing.
func NewDrop(options []string, chosen func(string)) *Drop {
	d := &Drop{}
	d.ExtendBaseWidget(d)
	d.Options, d.OnChanged = options, chosen
	return d
}

// Tapped implements fyne.Tappable.
func (d *Drop) Tapped(*fyne.PointEvent) { d.open() }

// TypedKey implements fyne.Focusable.
func (d *Drop) TypedKey(k *fyne.KeyEvent) {
	switch k.Name {
	case fyne.KeyReturn, fyne.KeyEnter:
		d.open()
	case fyne.KeyEscape:
		leave(d)
	default:
		pass(d, k)
	}
}

// TypedRune implements fyne.Focusable.
func (d *Drop) TypedRune(r rune) { passRune(d, r) }

func (d *Drop) open() {
	driver := fyne.CurrentApp().Driver()
	c := driver.CanvasForObject(d)
	if c == nil || d.Disabled() {
		return
	}
	var items []*fyne.MenuItem
	for _, o := range d.Options {
		items = append(items, fyne.NewMenuItem(o, func() {
			leave(d)
			d.SetSelected(o)
		}))
	}
	menu := widget.NewPopUpMenu(fyne.NewMenu("", items...), c)
	menu.ShowAtPosition(driver.AbsolutePositionForObject(d).AddXY(0, d.Size().Height))
	menu.Resize(fyne.NewSize(max(d.Size().Width, menu.MinSize().Width), menu.MinSize().Height))
}

// Tick is something that is on or off. Pressed, it leaves the keys to the desk.
type Tick struct{ widget.Check }

// NewTick is one that is off; changed is handed what it is then, nil for nothing.
func NewTick(label string, changed func(bool)) *Tick {
	t := &Tick{}
	t.ExtendBaseWidget(t)
	t.Text, t.OnChanged = label, changed
	return t
}

// Tapped implements fyne.Tappable.
func (t *Tick) Tapped(e *fyne.PointEvent) {
	t.Check.Tapped(e)
	leave(t)
}

// TypedKey implements fyne.Focusable.
func (t *Tick) TypedKey(k *fyne.KeyEvent) {
	switch k.Name {
	case fyne.KeyEscape:
		leave(t)
	case fyne.KeyReturn, fyne.KeyEnter:
		t.SetChecked(!t.Checked)
	default:
		pass(t, k)
	}
}

// TypedRune implements fyne.Focusable.
func (t *Tick) TypedRune(r rune) { passRune(t, r) }
