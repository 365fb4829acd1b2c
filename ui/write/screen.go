package write

import (
	"strconv"
	"strings"
	"unicode"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"

	"endpin/piece"
	"endpin/piece/engraving"
	"endpin/piece/manuscript"
	"endpin/piece/words"
	"endpin/ui/desk"
	"endpin/ui/desk/writing"
	"endpin/ui/fit"
	"endpin/ui/ink"
	"endpin/ui/mark"
	"endpin/ui/page"
	"endpin/ui/prose"
)

// Screen is the page being written.
type Screen struct {
	desk    *desk.Desk
	writing *writing.Writing
	win     fyne.Window
	choose  Choose

	box     *fyne.Container
	page    *page.View
	head    *head
	palette *palette
	picture *picture
	left    *widget.Label // what the measure still takes, or how far the hearing is
	stop    *prose.Button // ends what goes on
	dark    bool
	digit   bool // the key pressed last is one that bears a digit
}

// Choose asks for a file of a kind, by its name.
type Choose func(title, yes string, is func(path string) bool, take func(path string))

// New sets the screen out.
func New(d *desk.Desk, win fyne.Window, choose Choose) *Screen {
	s := &Screen{desk: d, writing: d.Writing, win: win, choose: choose, dark: d.Settings.Dark}
	c := ink.Look{Dark: s.dark}.Colours()
	s.page = page.New(s.writing.Page.Piece(), nil, nil, 12.5, c)
	s.page.Note = func(measure, note int, more bool) {
		win.Canvas().Unfocus()
		s.writing.Choose(piece.At{Measure: measure, Note: note}, more || s.held().Shift)
	}
	s.head, s.palette, s.picture = newHead(s), newPalette(s), newPicture(s)
	s.left = prose.Line("")
	s.stop = prose.NewButton(words.Say("window.write.stop"), func() { s.freed(s.end) })
	s.stop.Importance = widget.HighImportance
	strip := container.NewBorder(nil, nil, nil, s.stop, s.left)
	s.box = container.NewPadded(container.New(under{}, prose.Tight(s.head.box), prose.Tight(s.palette.box), s.picture.beside(s.page), strip))
	return s
}

func (s *Screen) Name() string           { return words.Say("window.screen.write") }
func (s *Screen) Box() fyne.CanvasObject { return s.box }
func (s *Screen) Enter()                 { s.Refresh() }
func (s *Screen) Leave()                 { s.writing.StopSounding() }

// freed does something, after which keys are keys again.
func (s *Screen) freed(do func()) {
	s.win.Canvas().Unfocus()
	do()
}

// end ends what goes on: a recording being made, or heard.
func (s *Screen) end() {
	if s.writing.Records >= 0 {
		s.writing.StopPlayingIn()
		return
	}
	s.writing.CancelHearing()
}

// held are the keys held down now.
func (s *Screen) held() (h manuscript.Held) {
	if d, is := fyne.CurrentApp().Driver().(desktop.Driver); is {
		m := d.CurrentKeyModifiers()
		h.Shift, h.Control = m&fyne.KeyModifierShift != 0, m&fyne.KeyModifierControl != 0
	}
	return h
}

var named = map[fyne.KeyName]manuscript.Key{
	fyne.KeyLeft: manuscript.Left, fyne.KeyRight: manuscript.Right, fyne.KeyUp: manuscript.Up, fyne.KeyDown: manuscript.Down,
	fyne.KeyPageUp: manuscript.PageUp, fyne.KeyPageDown: manuscript.PageDown, fyne.KeyHome: manuscript.Home, fyne.KeyEnd: manuscript.EndKey,
	fyne.KeyReturn: manuscript.Return, fyne.KeyEnter: manuscript.Return, fyne.KeyEscape: manuscript.Escape,
	fyne.KeyBackspace: manuscript.Backspace, fyne.KeyDelete: manuscript.DeleteKey,
	fyne.Key0: "0", fyne.Key1: "1", fyne.Key2: "2", fyne.Key3: "3", fyne.Key4: "4",
	fyne.Key5: "5", fyne.Key6: "6", fyne.Key7: "7", fyne.Key8: "8", fyne.Key9: "9",
}

// Key is a key that writes nothing, or one that bears a digit: the toolkit knows these by
// their place, whatever the layout writes with them.
func (s *Screen) Key(k fyne.KeyName) bool {
	key, known := named[k]
	s.digit = len(key) == 1
	switch {
	case k == fyne.KeySpace:
		s.writing.Sound()
		return true
	case k == fyne.KeyEscape && s.writing.Busy():
		s.end()
		return true
	case !known:
		return false
	}
	return s.writing.Press(key, s.held()) || k != fyne.KeyEscape
}

// Rune is a key that writes. What a key with a digit writes was done already.
func (s *Screen) Rune(r rune) {
	if unicode.IsDigit(r) || s.digit && !unicode.IsLetter(r) {
		return
	}
	if r == '#' {
		r = 's'
	}
	key := string(r)
	if lower := strings.ToLower(key); key != "R" && key != "O" {
		key = lower
	}
	s.writing.Press(manuscript.Key(key), manuscript.Held{})
}

// The deeds that hang on Control.
func (s *Screen) Undo()  { s.writing.Do(func(m *manuscript.Manuscript) { m.Undo() }) }
func (s *Screen) Redo()  { s.writing.Do(func(m *manuscript.Manuscript) { m.Redo() }) }
func (s *Screen) Copy()  { s.writing.Do(func(m *manuscript.Manuscript) { m.Copy() }) }
func (s *Screen) Cut()   { s.writing.Do(func(m *manuscript.Manuscript) { m.Cut() }) }
func (s *Screen) Paste() { s.writing.Do(func(m *manuscript.Manuscript) { m.Paste() }) }
func (s *Screen) All()   { s.writing.Do(func(m *manuscript.Manuscript) { m.All() }) }

// Edit takes up the piece on the desk.
func (s *Screen) Edit() { s.writing.Edit(s.desk.Score) }

// Refresh shows the page as it is now.
func (s *Screen) Refresh() {
	w, m, in := s.writing, s.writing.Page, s.writing.Instrument()
	if dark := s.desk.Settings.Dark; dark != s.dark {
		s.dark = dark
		s.page.SetColours(ink.Look{Dark: dark}.Colours())
	}
	s.head.refresh()
	s.palette.refresh()
	s.picture.refresh()
	p := m.Piece()
	marks := map[int][]mark.Mark{}
	for i, b := range m.Bars {
		if m.Off(i) != 0 {
			says := m.SayOffBriefly(i).String()
			marks[i] = append(marks[i], mark.Mark{Measure: i, Text: says, Brief: says})
		}
		for _, n := range b.Notes {
			if says, is := in.Beyond(n.MIDI, b.Number); is && !n.Rest {
				brief := words.Say("window.write.too-high")
				if low, _ := in.Range(); n.MIDI < low {
					brief = words.Say("window.write.too-low")
				}
				marks[i] = append(marks[i], mark.Mark{Measure: i, Text: says.String(), Brief: brief})
			}
			if n.Doubt != nil {
				says := words.Say("window.write.doubt." + n.Doubt.About)
				marks[i] = append(marks[i], mark.Mark{Measure: i, Text: says, Brief: says, Fair: true})
			}
		}
	}
	from, to := m.Range()
	show := page.Written{From: engraving.Anchor{Measure: from.Measure, Note: from.Note}, To: engraving.Anchor{Measure: to.Measure, Note: to.Note}, Chosen: m.Some}
	if w.Sounds {
		show.From = engraving.Anchor{Measure: w.At.Measure, Note: w.At.Note}
		show.To, show.Chosen = show.From, true
	}
	s.page.SetSpace(spaceIn(s.win.Canvas().Size().Width))
	s.page.Rewrite(p, marks, show)
	prose.Tell(s.left, s.says())
	fit.Hide(s.stop, !w.Busy())
}

// spaceIn is a staff space in a window of a width: larger where there is room for it.
func spaceIn(width float32) float32 {
	if width > 1600 {
		return 16
	}
	return 12.5
}

// says is what goes on, or where one is.
func (s *Screen) says() string {
	w, m := s.writing, s.writing.Page
	switch {
	case w.Records >= 0:
		return words.Say("window.write.records", "seconds", int(w.Records))
	case w.Hearing >= 0:
		return words.Say("window.write.hears", "share", strconv.Itoa(int(100*w.Hearing)))
	case m.Hand.Fingers && !m.Some:
		return words.Say("window.write.no-note-chosen")
	case m.Notes() == 0 && len(m.Bars) == 1:
		return words.Say("window.write.first")
	}
	i := m.At.Measure
	if n := len(m.Doubts()); n > 0 {
		return words.Many("window.write.doubts", n).String()
	}
	if left := m.Left(); !m.Some && i == len(m.Bars)-1 && left > 0 {
		return words.Say("window.write.left", "measure", m.Bars[i].Number, "length", manuscript.SayLength(left))
	}
	return words.Say("window.write.at", "measure", m.Bars[i].Number)
}
