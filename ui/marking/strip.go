package marking

import (
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"endpin/piece"
	"endpin/piece/notation"
	"endpin/piece/words"
	"endpin/ui/desk"
	"endpin/ui/desk/marking"
	"endpin/ui/fit"
	"endpin/ui/prose"
	"endpin/ui/takes"
)

// Strip stands under the page while the pencil is in the hand:
//
//	Pencil  measure 5, note 2: A          undo, redo   keep, homework   done
//	finger   string   bow                              or repeats
//	position                                           or section, text
type Strip struct {
	Box *fyne.Container

	desk   *desk.Desk
	win    fyne.Window
	keeper *takes.Keeper

	chosen     *widget.Label
	turn       *prose.Button
	undo, redo *prose.Button
	keep       *prose.Button
	note       *fyne.Container
	measure    *fyne.Container
	fingers    []*prose.Button
	strings    []*prose.Button
	row        *fyne.Container // of the strings
	positions  []*prose.Button
	where      *fyne.Container // the positions
	bows       map[piece.Bow]*prose.Button
	begins     *prose.Button
	ends       *prose.Button
	section    *prose.Entry
	text       *prose.Entry
	named      []string // strings and positions, as they stand there
}

var fingers = []string{"0", "1", "2", "3", "4", "T"}

// New sets it out. A keeper asks where files go, and assign makes homework.
func New(d *desk.Desk, win fyne.Window, keeper *takes.Keeper, assign func()) *Strip {
	s := &Strip{desk: d, win: win, keeper: keeper, bows: map[piece.Bow]*prose.Button{}}
	p := d.Pencil
	s.chosen = prose.Bold("")
	s.turn = s.button(words.Say("window.pencil.to-note"), p.Turn)
	s.undo = s.button(words.Say("window.pencil.undo"), p.Undo)
	s.redo = s.button(words.Say("window.pencil.redo"), p.Redo)
	s.keep = s.button(words.Say("window.pencil.keep.short"), s.Keep)
	done := s.button(words.Say("window.pencil.done"), p.PutAway)
	done.Importance = widget.HighImportance
	says := prose.Heading(words.Say("window.pencil"))
	top := fit.Row(says, fit.Across(fit.Amid(s.chosen), 220), nil, s.turn, s.undo, s.redo, s.keep, s.button(words.Say("window.pencil.homework"), assign), done)

	fingering := container.NewHBox(widget.NewLabel(words.Say("window.pencil.finger")))
	for _, f := range fingers {
		b := s.button(f, func() { p.Finger(f) })
		s.fingers = append(s.fingers, b)
		fingering.Add(b)
	}
	s.row, s.where = container.NewHBox(), container.NewStack()
	bows := container.NewHBox(widget.NewLabel(words.Say("window.pencil.bow")))
	for _, b := range []piece.Bow{piece.Down, piece.Up} {
		s.bows[b] = s.button(words.Say("window.pencil."+string(b)), func() { p.Bow(b) })
		bows.Add(s.bows[b])
	}
	s.note = container.NewVBox(fit.Row(fingering, s.row, bows), s.where)

	s.begins = s.button(words.Say("window.pencil.begins"), p.RepeatStart)
	s.ends = s.button(words.Say("window.pencil.ends"), p.RepeatEnd)
	s.section = s.entry(func(x *notation.Signs, text string) { x.Rehearsal = text })
	s.text = s.entry(func(x *notation.Signs, text string) { x.Text = text })
	line := func(says string, e *prose.Entry, wide float32) fyne.CanvasObject { // both go on together
		return container.NewHBox(widget.NewLabel(words.Say(says)), fit.Wide(e, wide))
	}
	s.measure = fit.Row(s.begins, s.ends, line("window.pencil.section", s.section, 120), line("window.pencil.text", s.text, 420))
	s.Box = container.NewPadded(container.NewVBox(top, fit.Instead(s.note, s.measure)))
	s.Box.Hide()
	return s
}

func (s *Strip) button(label string, do func()) *prose.Button {
	b := prose.NewButton(label, func() { do(); s.win.Canvas().Unfocus() })
	b.Importance = widget.LowImportance
	return b
}

// entry is a line of what stands over the measure. What was typed holds as soon as the keys
// go elsewhere.
func (s *Strip) entry(set func(*notation.Signs, string)) *prose.Entry {
	var e *prose.Entry
	take := func(text string) bool {
		x := s.desk.Pencil.Signs()
		was := x
		if set(&x, text); x != was {
			s.desk.Pencil.Sign(func(x *notation.Signs) { set(x, text) })
		}
		return true
	}
	e = prose.NewEntry(take)
	e.Left = func() { take(e.Text) }
	return e
}

// keyNames are the keys that write nothing, as the pencil knows them.
var keyNames = map[fyne.KeyName]marking.Key{
	fyne.KeyLeft: marking.Left, fyne.KeyRight: marking.Right, fyne.KeyUp: marking.Up, fyne.KeyDown: marking.Down, fyne.KeyTab: marking.Tab, fyne.KeyReturn: marking.Tab, fyne.KeyEnter: marking.Tab,
	fyne.KeyBackspace: marking.Backspace, fyne.KeyDelete: marking.Delete, fyne.KeyEscape: marking.Escape,
}

// Key takes the keys that write nothing while the pencil is in the hand, but for those that
// scroll the page.
func (s *Strip) Key(k fyne.KeyName) bool {
	if !s.desk.Pencil.On || k == fyne.KeyPageDown || k == fyne.KeyPageUp {
		return false
	}
	s.desk.Pencil.Key(keyNames[k])
	return true
}

// Rune takes those that write.
func (s *Strip) Rune(r rune) bool {
	p := s.desk.Pencil
	switch {
	case !p.On:
		return false
	case p.At.Note < 0 && r == 's':
		s.win.Canvas().Focus(s.section)
	case p.At.Note < 0 && r == 't':
		s.win.Canvas().Focus(s.text)
	default:
		p.Key(marking.Key(string(r)))
	}
	return true
}

// Refresh shows the desk as it is now.
func (s *Strip) Refresh() {
	p := s.desk.Pencil
	fit.Hide(s.Box, !p.On)
	if !p.On {
		return
	}
	s.name()
	n := p.Note()
	if n != nil {
		prose.Tell(s.chosen, words.Say("window.pencil.note", "measure", p.Measure().Number, "n", p.Nth(), "note", words.Note{Step: n.Step, Alter: n.Alter}))
		m := n.Marks
		for i, f := range fingers {
			prose.Mark(s.fingers[i], m.Finger == f)
		}
		for i := range s.strings {
			prose.Mark(s.strings[i], m.String == i+1)
		}
		for i, token := range p.Positions() {
			prose.Mark(s.positions[i], m.Position == token)
		}
		for b := range s.bows {
			prose.Mark(s.bows[b], m.Bow == b)
		}
	} else {
		prose.Tell(s.chosen, words.Say("window.pencil.measure", "measure", p.Measure().Number))
		x := p.Signs()
		prose.Mark(s.begins, x.RepeatStart)
		prose.Mark(s.ends, x.RepeatEnd)
		for e, says := range map[*prose.Entry]string{s.section: x.Rehearsal, s.text: x.Text} {
			if e.Text != says && !e.Entered() {
				e.SetText(says)
			}
		}
	}
	turn := words.Say("window.pencil.to-measure")
	if n == nil {
		turn = words.Say("window.pencil.to-note")
	}
	if s.turn.Text != turn {
		s.turn.SetText(turn)
	}
	fit.Hide(s.note, n == nil)
	fit.Hide(s.measure, n != nil)
	back, on := p.Steps()
	able(s.undo, back)
	able(s.redo, on)
	able(s.keep, p.UnkeptHere())
}

// name writes down the strings and positions of the instrument on the desk.
func (s *Strip) name() {
	p := s.desk.Pencil
	names := append(p.Strings(), p.Positions()...)
	if slices.Equal(names, s.named) {
		return
	}
	s.named, s.strings, s.positions = names, nil, nil
	s.row.Objects = []fyne.CanvasObject{widget.NewLabel(words.Say("window.pencil.string"))}
	for i, name := range p.Strings() {
		b := s.button(name, func() { p.String(i + 1) })
		s.strings = append(s.strings, b)
		s.row.Add(b)
	}
	where := []fyne.CanvasObject{widget.NewLabel(words.Say("window.pencil.position"))}
	for _, token := range p.Positions() {
		says := words.Position(token).Printed().String()
		switch token {
		case "half":
			says = "½"
		case "thumb":
			says = words.Say("engraving.thumb")
		}
		b := s.button(says, func() { p.Position(token) })
		s.positions = append(s.positions, b)
		where = append(where, b)
	}
	s.where.Objects = []fyne.CanvasObject{fit.Row(where...)} // which goes on in another line in a narrow window
}

func able(b *prose.Button, yes bool) {
	switch {
	case yes && b.Disabled():
		b.Enable()
	case !yes && !b.Disabled():
		b.Disable()
	}
}
