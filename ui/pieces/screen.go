package pieces

import (
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/widget"

	"endpin/piece/words"
	"endpin/ui/desk"
	"endpin/ui/desk/pieces"
	"endpin/ui/fit"
	"endpin/ui/ink"
	"endpin/ui/prose"
)

// Screen is the shelf of pieces.
type Screen struct {
	desk   *desk.Desk
	shelf  *pieces.Shelf
	win    fyne.Window
	all    *fyne.Container
	search *search
	ready  *ready
	first  *prose.Para // what somebody is told whose shelf is empty
	none   *prose.Para // where nothing is found
	rows   *widget.List
	rule   *widget.Separator
	asked  *pieces.Choice // for which a dialogue stands over the window
	dark   bool
}

// New sets the screen out; open asks for a file, write writes a piece.
func New(d *desk.Desk, win fyne.Window, open, write func()) *Screen {
	s := &Screen{desk: d, shelf: d.Pieces, win: win, dark: d.Settings.Dark}
	c := ink.Look{Dark: s.dark}.Colours()
	s.search = newSearch(s)
	button := prose.NewButton(words.Say("window.pieces.open"), func() { win.Canvas().Unfocus(); open() })
	top := fit.Before(s.search, container.NewHBox(fit.Gap(10), prose.NewButton(words.Say("window.pieces.write"), func() { win.Canvas().Unfocus(); write() }), button))
	s.ready = newReady(s)
	s.first = prose.NewPara(words.Say("window.pieces.first"), 22, false, c.Ink)
	s.none = prose.NewPara("", 22, false, c.Soft)
	s.rows = widget.NewList(func() int { return len(s.shelf.List()) }, func() fyne.CanvasObject { return newRow(s) },
		func(i widget.ListItemID, o fyne.CanvasObject) { o.(*row).show(i) })
	s.rows.HideSeparators = true
	s.rows.OnSelected = func(i widget.ListItemID) {
		s.rows.UnselectAll()
		win.Canvas().Unfocus()
		if i == s.shelf.At() {
			s.shelf.OpenReady()
			return
		}
		s.shelf.Choose(i)
	}
	s.rule = widget.NewSeparator()
	s.all = container.New(screenLayout{s}, top, s.first, s.none, s.ready, s.rule, s.rows)
	return s
}

func (s *Screen) Name() string           { return words.Say("window.screen.pieces") }
func (s *Screen) Box() fyne.CanvasObject { return s.all }
func (s *Screen) Enter()                 { s.shelf.Enter(); s.bring() }
func (s *Screen) Leave()                 { s.shelf.Cancel() }

// Key opens the piece that stands ready, or has another stand there.
func (s *Screen) Key(k fyne.KeyName) bool {
	switch pedals := s.desk.Settings.Pedals.Keys(); string(k) {
	case pedals[0]:
		s.shelf.OpenReady()
		return true
	case pedals[1]:
		s.shelf.Next()
		s.bring()
		return true
	}
	page := max(1, int(s.rows.Size().Height/rowHigh)-1)
	switch k {
	case fyne.KeyReturn, fyne.KeyEnter:
		s.shelf.OpenReady()
	case fyne.KeyDown, fyne.KeyRight:
		s.choose(1)
	case fyne.KeyUp, fyne.KeyLeft:
		s.choose(-1)
	case fyne.KeyPageDown:
		s.choose(page)
	case fyne.KeyPageUp:
		s.choose(-page)
	case fyne.KeyHome:
		s.choose(-len(s.shelf.List()))
	case fyne.KeyEnd:
		s.choose(len(s.shelf.List()))
	case fyne.KeyDelete:
		s.forget()
	case fyne.KeyBackspace:
		if r := []rune(s.shelf.Search); len(r) > 0 {
			s.shelf.Type(string(r[:len(r)-1]))
			s.bring()
		}
	case fyne.KeyEscape:
		switch {
		case s.shelf.Cancel():
		case s.shelf.Search != "":
			s.shelf.Type("")
		default:
			return false
		}
	default:
		return false
	}
	return true
}

// Rune is a letter of what is looked for.
func (s *Screen) Rune(r rune) {
	s.shelf.Type(s.shelf.Search + string(r))
	s.bring()
}

func (s *Screen) choose(by int) {
	s.shelf.Choose(s.shelf.At() + by)
	s.bring()
}

// bring brings the piece that stands ready into sight.
func (s *Screen) bring() {
	if s.shelf.Ready() != nil {
		s.rows.ScrollTo(s.shelf.At())
	}
}

// forget asks before a piece goes from the shelf.
func (s *Screen) forget() {
	p := s.shelf.Ready()
	if p == nil || p.Demo {
		return
	}
	c := dialog.NewConfirm(words.Say("window.pieces.forget"), words.Say("window.pieces.forget.what", "title", p.Title), func(yes bool) {
		if yes {
			s.shelf.Forget(p)
		}
		s.win.Canvas().Unfocus()
	}, s.win)
	c.SetConfirmText(words.Say("window.pieces.forget.yes"))
	c.SetDismissText(words.Say("window.pieces.leave"))
	c.Show()
}

// Refresh shows the shelf as it is now.
func (s *Screen) Refresh() {
	c := ink.Look{Dark: s.desk.Settings.Dark}.Colours()
	s.first.Say(words.Say("window.pieces.first"), false, c.Ink)
	s.none.Say(words.Say("window.pieces.none", "typed", words.Quoted(s.shelf.Search)), false, c.Soft)
	list := s.shelf.List()
	fit.Hide(s.first, s.shelf.Count() > 0)
	fit.Hide(s.search, s.shelf.Count() == 0)
	fit.Hide(s.none, len(list) > 0)
	fit.Hide(s.ready, len(list) == 0)
	fit.Hide(s.rows, len(list) < 2)
	fit.Hide(s.rule, len(list) < 2)
	s.search.show()
	s.ready.show(c)
	s.rows.Refresh()
	s.all.Refresh()
}

// Ask asks for the part and the instrument, where that is to be chosen, whatever stands
// in the window.
func (s *Screen) Ask() {
	c := s.shelf.Asking
	if c == nil || c == s.asked {
		return
	}
	s.asked = c
	instruments := prose.NewDrop(c.InstrumentNames(), nil)
	instruments.SetSelectedIndex(c.Instrument)
	instruments.OnChanged = func(string) { c.Instrument = instruments.SelectedIndex() }
	form := widget.NewForm()
	if names := c.PartNames(); len(names) > 1 {
		parts := prose.NewDrop(names, nil)
		parts.SetSelectedIndex(c.Part)
		parts.OnChanged = func(string) {
			c.ChoosePart(parts.SelectedIndex())
			instruments.SetSelectedIndex(c.Instrument)
		}
		form.Append(words.Say("window.pieces.part"), fit.Wide(parts, 420))
	}
	form.Append(words.Say("window.pieces.instrument"), fit.Wide(instruments, 420))
	says := prose.Wrapped(words.Say("window.pieces.ask", "title", c.Title))
	d := dialog.NewCustomConfirm(words.Say("window.pieces.ask.title"), words.Say("window.pieces.ask.open"), words.Say("window.pieces.leave"),
		container.NewVBox(says, form), func(yes bool) {
			s.asked = nil
			if s.win.Canvas().Unfocus(); yes {
				s.shelf.Answer()
			} else {
				s.shelf.Cancel()
			}
		}, s.win)
	d.Resize(fyne.NewSize(640, 280))
	d.Show()
}

// search is the line in which pieces are looked for. What is typed anywhere on the screen
// stands there.
type search struct {
	prose.Entry
	s *Screen
}

func newSearch(s *Screen) *search {
	e := &search{s: s}
	e.ExtendBaseWidget(e)
	e.OnChanged = func(text string) { s.shelf.Type(text) }
	e.OnSubmitted = func(string) { s.win.Canvas().Unfocus(); s.shelf.OpenReady() }
	return e
}

// MinSize implements fyne.Widget: it asks for room for what it says.
func (e *search) MinSize() fyne.Size {
	size := e.Entry.MinSize()
	size.Width = max(size.Width, prose.Room(0, e.PlaceHolder))
	return size
}

func (e *search) show() {
	if e.Text != e.s.shelf.Search {
		e.SetText(e.s.shelf.Search)
	}
	if n := e.s.shelf.Count(); n > 0 {
		if holder := words.Many("window.pieces.search", n).String(); e.PlaceHolder != holder {
			e.SetPlaceHolder(holder)
		}
	}
}

// TypedKey implements fyne.Focusable: keys that choose a piece do so from here, too.
func (e *search) TypedKey(k *fyne.KeyEvent) {
	switch k.Name {
	case fyne.KeyDown, fyne.KeyUp, fyne.KeyPageDown, fyne.KeyPageUp:
		e.s.Key(k.Name)
	case fyne.KeyEscape:
		e.s.win.Canvas().Unfocus()
		e.s.shelf.Type("")
	default:
		e.Entry.TypedKey(k)
	}
}

// about joins what is known of a piece to one line.
func about(parts ...string) string {
	var all []string
	for _, p := range parts {
		if p != "" {
			all = append(all, p)
		}
	}
	return strings.Join(all, "  ·  ")
}

// screenLayout sets the piece that stands ready over the others, which have the room that
// is left.
type screenLayout struct{ s *Screen }

// MinSize implements fyne.Layout.
func (screenLayout) MinSize(all []fyne.CanvasObject) fyne.Size {
	return fyne.NewSize(600, all[0].MinSize().Height+readyHigh+100)
}

// Layout implements fyne.Layout.
func (l screenLayout) Layout(all []fyne.CanvasObject, size fyne.Size) {
	const edge, between = 12, 8
	w := size.Width - 2*edge
	y := float32(4)
	put := func(o fyne.CanvasObject, h float32) {
		if !o.Visible() {
			return
		}
		o.Move(fyne.NewPos(edge, y))
		o.Resize(fyne.NewSize(w, h))
		y += h + between
	}
	put(all[0], all[0].MinSize().Height)
	put(all[1], l.s.first.HeightFor(w)+between)
	put(all[2], l.s.none.HeightFor(w))
	put(all[3], readyHigh)
	put(all[4], 1)
	put(all[5], max(0, size.Height-y))
}
