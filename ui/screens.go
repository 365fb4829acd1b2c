package ui

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"
)

// screen is what stands in the middle of the window: the page, or one of what
// stands in its place. One stands there at a time.
type screen interface {
	// name is what its button says.
	name() string
	// box is all of it.
	box() fyne.CanvasObject
	// enter is called when it comes to stand there, leave when another does.
	enter()
	leave()
	// refresh is called after every change of the desk while it stands there.
	refresh()
	// key offers it a key that writes nothing; it says whether it took it.
	key(fyne.KeyName) bool
}

// screens are those beside the page, in the order of their buttons.
func (w *Window) screens() []screen {
	return []screen{w.tune, newClassScreen(w), newDiaryScreen(w), newSettings(w)}
}

// tabs are the buttons that bring a screen, and the screens.
type tabs struct {
	w       *Window
	box     *fyne.Container
	middle  *fyne.Container
	all     []screen
	buttons []*widget.Button
	at      int
}

func newTabs(w *Window) *tabs {
	t := &tabs{w: w, box: container.NewHBox(), middle: container.NewStack()}
	t.all = append([]screen{&pageScreen{w}}, w.screens()...)
	for i, s := range t.all {
		b := widget.NewButton(s.name(), func() { t.show(i) })
		t.buttons = append(t.buttons, b)
		if len(t.all) > 1 {
			t.box.Add(b)
		}
		t.middle.Add(s.box())
		hide(s.box(), i != 0)
	}
	t.mark()
	return t
}

// show brings a screen. While an attempt goes on the page stays.
func (t *tabs) show(i int) {
	if i == t.at || t.w.desk.Running {
		return
	}
	t.all[t.at].leave()
	t.all[t.at].box().Hide()
	t.at = i
	t.all[i].box().Show()
	t.all[i].enter()
	t.mark()
	t.w.win.Canvas().Unfocus()
	t.w.desk.Say("") // what was said was said of the other
}

// bring brings the screen that a button names.
func (t *tabs) bring(name string) {
	for i, s := range t.all {
		if s.name() == name {
			t.show(i)
		}
	}
}

func (t *tabs) mark() {
	for i, b := range t.buttons {
		b.Importance = widget.LowImportance
		if i == t.at {
			b.Importance = widget.MediumImportance
		}
		b.Refresh()
	}
}

// refresh tells the screen that stands there.
func (t *tabs) refresh() { t.all[t.at].refresh() }

// key offers a key to the screen that stands there; Escape goes back to the page.
func (t *tabs) key(k fyne.KeyName) bool {
	if t.at == 0 {
		return false
	}
	if t.all[t.at].key(k) {
		return true
	}
	if k == fyne.KeyEscape {
		t.show(0)
	}
	return true
}

// pageScreen is the page with what belongs to it. It is refreshed by the window.
type pageScreen struct{ w *Window }

func (p *pageScreen) name() string           { return "Page" }
func (p *pageScreen) box() fyne.CanvasObject { return p.w.desktop }
func (p *pageScreen) enter()                 {}
func (p *pageScreen) leave()                 {}
func (p *pageScreen) refresh()               {}
func (p *pageScreen) key(fyne.KeyName) bool  { return false }
