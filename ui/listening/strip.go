// Package listening is the strip under the page while somebody listens back to takes: what
// sounds, and how. Read Strip first.
package listening

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"endpin/piece/words"
	"endpin/ui/desk"
	"endpin/ui/fit"
	"endpin/ui/ink"
	"endpin/ui/prose"
)

// Strip is that strip.
type Strip struct {
	Box *fyne.Container

	desk    *desk.Desk
	win     fyne.Window
	changed func() // it came, or went
	play    *prose.Button
	where   *canvas.Text
	says    *prose.Short
	loop    *prose.Button
	slowly  *prose.Button
	line    *prose.Button
	others  *prose.Drop
	turn    *fyne.Container
	softer  *prose.Button
	louder  *prose.Button
	of      []string // the names that may be chosen
	sounds  []string // and their recordings
}

const whereSize = 24

// New sets it out; changed is called where it comes and goes.
func New(d *desk.Desk, win fyne.Window, changed func()) *Strip {
	s := &Strip{desk: d, win: win, changed: changed, where: canvas.NewText("", nil)}
	s.where.TextSize, s.where.TextStyle.Bold = whereSize, true
	button := func(label string, do func()) *prose.Button {
		return prose.NewButton(label, func() { do(); win.Canvas().Unfocus() })
	}
	l := d.Listening
	say := func(key string) string { return words.Say("window.listening." + key) }
	s.play = button(say("play"), l.Toggle)
	s.loop = button(say("loop"), func() { l.SetLoop(!l.Loop) })
	s.slowly = button(words.Say("window.closer.slower"), func() { l.SetSlowly(!l.Slowly) })
	s.line = button(say("line"), func() { l.SetLine(!l.Line) })
	s.softer, s.louder = button(say("softer"), func() { s.louderBy(-1) }), button(say("louder"), func() { s.louderBy(1) })
	s.others = prose.NewDrop(nil, nil)
	s.turn = container.NewHBox(widget.NewLabel(say("turn")), fit.Across(s.others, 380))
	move := container.NewHBox(fit.Across(s.play, prose.Room(120, s.labels()...)), button("◂", func() { l.Neighbour(-1) }), button("▸", func() { l.Neighbour(1) }), fit.Gap(8))
	s.says = prose.NewShort(s.where)
	first := container.NewBorder(nil, nil, move, container.NewHBox(button(say("begin"), func() { l.From(-1) }), button(words.Say("window.closer.close"), l.Close)), s.says)
	second := fit.Row(s.loop, s.slowly, s.line, s.turn, nil, container.NewHBox(s.softer, s.louder))
	s.Box = container.NewVBox(widget.NewSeparator(), first, second)
	s.Box.Hide()
	return s
}

func (s *Strip) labels() []string {
	return []string{words.Say("window.listening.play"), words.Say("window.listening.stop")}
}

func (s *Strip) louderBy(n int) {
	s.desk.Volume.Louder(n)
	s.Refresh()
}

// Key takes the keys that move about while it is there; pedals are the two keys that pedals
// send.
func (s *Strip) Key(k fyne.KeyName, pedals [2]string) bool {
	l := s.desk.Listening
	if !s.Box.Visible() {
		return false
	}
	switch {
	case string(k) == pedals[0], k == fyne.KeySpace:
		l.Toggle()
	case string(k) == pedals[1], k == fyne.KeyLeft:
		l.Neighbour(-1)
	case k == fyne.KeyRight:
		l.Neighbour(1)
	case k == fyne.KeyEscape && l.Playing():
		l.Stop()
	case k == fyne.KeyEscape:
		l.Close()
	default:
		return false
	}
	return true
}

// Refresh shows what is listened to.
func (s *Strip) Refresh() {
	d := s.desk
	l := d.Listening
	on := l.Open && !d.Running && !d.Judging && d.Closer() == nil
	if on != s.Box.Visible() {
		fit.Hide(s.Box, !on)
		s.changed() // the page makes room
	}
	if !on {
		return
	}
	label := s.labels()[0]
	if l.Playing() {
		label = s.labels()[1]
	}
	if s.play.Text != label {
		s.play.SetText(label)
	}
	where := ""
	if m := l.Place.Measure; m >= 0 {
		where = words.Say("window.listening.where", "measure", d.Score.Piece.Measures[m].Number, "take", l.Of)
	}
	if c := (ink.Look{Dark: d.Settings.Dark}).Colours().Ink; s.where.Color != c || s.says.Says() != where {
		s.where.Color = c
		s.says.Say(where)
	}
	prose.Mark(s.loop, l.Loop)
	prose.Mark(s.slowly, l.Slowly)
	prose.Mark(s.line, l.Line)
	able(s.softer, d.Volume.Step() > 0)
	able(s.louder, d.Volume.Step() < d.Volume.Steps()-1)
	s.choices()
}

func able(b *prose.Button, yes bool) {
	if yes == b.Disabled() {
		if b.Disable(); yes {
			b.Enable()
		}
	}
}

// choices are the takes that can be heard in turn.
func (s *Strip) choices() {
	l := s.desk.Listening
	names, sounds, at := []string{words.Say("window.listening.turn.none")}, []string{""}, 0
	for _, c := range l.Others() {
		if l.Other != nil && l.Other.Sound == c.Sound {
			at = len(names)
		}
		names, sounds = append(names, c.Name), append(sounds, c.Sound)
	}
	fit.Hide(s.turn, len(names) == 1)
	same := len(names) == len(s.of) && s.others.SelectedIndex() == at
	for i := range names {
		same = same && s.of[i] == names[i] && s.sounds[i] == sounds[i]
	}
	if same {
		return
	}
	s.of, s.sounds = names, sounds
	s.others.OnChanged = nil
	s.others.Options = names
	s.others.SetSelectedIndex(at)
	s.others.OnChanged = func(string) {
		if i := s.others.SelectedIndex(); i >= 0 && i < len(s.sounds) {
			l.InTurn(s.sounds[i])
		}
	}
}
