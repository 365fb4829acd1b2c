package ui

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"endpin/piece/words"
	"endpin/ui/fit"
	"endpin/ui/prose"
)

// screen is what stands in the middle of the window: the page, or one of what
// stands in its place. One stands there at a time.
type screen interface {
	// Name is what its button says.
	Name() string
	// Box is all of it.
	Box() fyne.CanvasObject
	// Enter is called when it comes to stand there, Leave when another does.
	Enter()
	Leave()
	// Refresh is called after every change of the desk while it stands there.
	Refresh()
	// Key offers it a key that writes nothing; it says whether it took it.
	Key(fyne.KeyName) bool
}

// tabs are the buttons that bring a screen, and the screens.
type tabs struct {
	w       *Window
	box     *fyne.Container
	middle  *fyne.Container
	all     []screen
	buttons []*prose.Button
	at      int
	from    int // where the help was asked for
}

func newTabs(w *Window, beside ...screen) *tabs {
	t := &tabs{w: w, middle: container.NewStack()}
	t.all = append([]screen{&pageScreen{w}}, beside...)
	var row []fyne.CanvasObject
	for i, s := range t.all {
		b := prose.NewButton(s.Name(), func() { t.show(i) })
		t.buttons = append(t.buttons, b)
		row = append(row, b)
		t.middle.Add(s.Box())
		fit.Hide(s.Box(), i != 0)
	}
	last := len(row) - 1 // the shelf, which comes first where people look for it
	t.box = fit.Row(append([]fyne.CanvasObject{row[last]}, row[:last]...)...)
	t.all = append(t.all, w.help) // without a button
	t.middle.Add(w.help.Box())
	w.help.Box().Hide()
	t.mark()
	return t
}

// help brings the help, and takes it away again.
func (t *tabs) help() {
	switch here := t.at; {
	case t.all[t.at] == t.w.help:
		t.show(t.from)
	default:
		t.from = here
		t.bring(t.w.help)
	}
}

// show brings a screen. While an attempt goes on the page stays.
func (t *tabs) show(i int) {
	if i == t.at || t.w.desk.Running {
		return
	}
	if i == 0 && t.w.bare {
		t.w.desk.Pieces.OpenReady()
		return
	}
	t.all[t.at].Leave()
	t.all[t.at].Box().Hide()
	t.at = i
	t.all[i].Box().Show()
	t.all[i].Enter()
	t.mark()
	t.w.win.Canvas().Unfocus()
	t.w.desk.Say("") // what was said was said of the other
}

// home goes back to the page, or to the shelf where no piece was opened yet.
func (t *tabs) home() {
	if t.w.bare {
		t.bring(t.w.pieces)
		return
	}
	t.show(0)
}

// bring brings a screen.
func (t *tabs) bring(s screen) {
	for i, x := range t.all {
		if x == s {
			t.show(i)
		}
	}
}

func (t *tabs) mark() {
	for i, b := range t.buttons {
		prose.Mark(b, i == t.at)
	}
}

// refresh tells the screen that stands there.
func (t *tabs) refresh() { t.all[t.at].Refresh() }

// key offers a key to the screen that stands there; Escape goes back from it.
func (t *tabs) key(k fyne.KeyName) bool {
	if t.at == 0 {
		return false
	}
	if t.all[t.at].Key(k) {
		return true
	}
	if k == fyne.KeyEscape && t.all[t.at] == t.w.help {
		t.help()
	} else if k == fyne.KeyEscape {
		t.home()
	}
	return true
}

// pageScreen is the page with what belongs to it. It is refreshed by the window.
type pageScreen struct{ w *Window }

func (p *pageScreen) Name() string           { return words.Say("window.screen.page") }
func (p *pageScreen) Box() fyne.CanvasObject { return p.w.desktop }
func (p *pageScreen) Enter()                 {}
func (p *pageScreen) Leave()                 {}
func (p *pageScreen) Refresh()               {}
func (p *pageScreen) Key(fyne.KeyName) bool  { return false }
