package prose

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/widget"
)

// Drop is a list that drops down to be chosen from. With the choice the keys are the
// desk's again, as they are with Escape.
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
	case fyne.KeySpace, fyne.KeyUp, fyne.KeyDown, fyne.KeyReturn, fyne.KeyEnter:
		d.open()
	case fyne.KeyEscape:
		leave(d)
	default:
		d.Select.TypedKey(k)
	}
}

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
	if k.Name == fyne.KeyEscape {
		leave(t)
		return
	}
	t.Check.TypedKey(k)
}
