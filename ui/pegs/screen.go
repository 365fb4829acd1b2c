package pegs

import (
	"image/color"
	"math"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/widget"

	"endpin/piece/tuning"
	"endpin/piece/words"
	"endpin/ui/desk"
	"endpin/ui/desk/tuner"
	"endpin/ui/fit"
	"endpin/ui/ink"
	"endpin/ui/prose"
)

// Screen is the check of the strings: one string in letters that are read from
// three metres, and below it all of them.
type Screen struct {
	desk    *desk.Desk
	toPage  func()
	Tuner   *tuner.Tuner
	all     *fyne.Container
	board   *board
	strings []*stringView // the lowest first
	a4      *prose.Fit
	take    *prose.Button
	other   *prose.Button
	outcome *prose.Fit
	pedal   *prose.Fit
	Offer   *fyne.Container // one line on the page, before the first take
}

// New sets the screen out. quiet leaves out the offer on the page; toPage goes
// there, and here comes here.
func New(d *desk.Desk, quiet bool, here, toPage func()) *Screen {
	s := &Screen{desk: d, toPage: toPage, Tuner: desk.NewTuner(d), board: newBoard()}
	if quiet {
		s.Tuner.Decline()
	}
	s.a4 = fitted(30, true, fyne.TextAlignCenter)
	a := func(by float64) func() { return func() { s.Tuner.SetA4(d.Settings.A4 + by) } }
	s.take = prose.NewButton("", s.Tuner.TakeA4)
	s.other = prose.NewButton(words.Say("window.tuning.other"), s.Tuner.Other)
	reference := fit.Row(container.NewHBox(widget.NewLabel(words.Say("window.tuning.reference")), prose.NewButton("−", a(-1)), fit.Wide(s.a4, 120), prose.NewButton("+", a(1)), s.take), nil,
		container.NewHBox(s.other, prose.NewButton(words.Say("window.tuning.anew"), s.Tuner.Anew)))
	row := container.NewGridWithColumns(len(s.Tuner.Live.Strings))
	for _, r := range s.Tuner.Live.Strings {
		v := newStringView(r.String, s.Tuner)
		s.strings = append(s.strings, v)
		row.Add(v.box)
	}
	s.outcome = fitted(34, true, fyne.TextAlignCenter)
	s.pedal = fitted(ink.Foot, false, fyne.TextAlignLeading)
	bottom := container.NewVBox(s.outcome, widget.NewSeparator(), row, container.NewPadded(s.pedal))
	s.all = container.NewBorder(container.NewPadded(reference), bottom, nil, nil, s.board.box)
	s.Offer = container.NewHBox(widget.NewLabel(words.Say("window.tuning.offer")),
		prose.NewButton(words.Say("window.tuning.offer.check"), here), prose.NewButton(words.Say("window.tuning.offer.later"), s.Tuner.Decline))
	return s
}

// fitted is a line of words, as large as there is room for.
func fitted(most float32, bold bool, align fyne.TextAlign) *prose.Fit {
	t := canvas.NewText("", nil)
	t.TextSize, t.TextStyle.Bold, t.Alignment = most, bold, align
	return prose.NewFit(t)
}

func (s *Screen) Name() string           { return words.Say("window.screen.tuning") }
func (s *Screen) Box() fyne.CanvasObject { return s.all }
func (s *Screen) Enter()                 { s.Tuner.Enter() }
func (s *Screen) Leave()                 { s.Tuner.Leave() }

// Key: one pedal goes on to the next string, the other lets its tone sound.
func (s *Screen) Key(k fyne.KeyName) bool {
	switch k {
	case fyne.KeyPageUp, fyne.KeyLeft, fyne.KeyUp:
		s.Tuner.Next()
	case fyne.KeyPageDown, fyne.KeyRight, fyne.KeyDown, fyne.KeySpace:
		if s.Tuner.Chosen == 0 {
			s.toPage()
			return true
		}
		s.Tuner.Sound(s.Tuner.Chosen)
	default:
		return false
	}
	return true
}

// Offering shows the line on the page that leads here.
func (s *Screen) Offering() { fit.Hide(s.Offer, !s.Tuner.Offer()) }

func (s *Screen) Refresh() {
	t := s.Tuner
	c := ink.Look{Dark: s.desk.Settings.Dark}.Colours()
	s.board.show(t.Board(), c.Ink, c.Soft)
	for i, v := range s.strings {
		v.show(t.Live.Strings[i], t, c.Ink, c.Soft)
	}
	s.a4.Say(words.Say("window.tuning.hz", "hz", words.Significant(s.desk.Settings.A4, 4)), c.Ink)
	o := t.Live.Outcome
	s.outcome.Say(o.Say(), c.Ink)
	fit.Hide(s.outcome, len(o.Missing) > 0 || o.InTune) // the row says it, or the board
	apart := o.Together && !o.InTune && math.Round(o.A4) != math.Round(s.desk.Settings.A4)
	if label := words.Say("window.tuning.take", "hz", words.Whole(o.A4)); apart && s.take.Text != label {
		s.take.SetText(label)
	}
	fit.Hide(s.take, !apart)
	fit.Hide(s.other, t.Live.Pair.Lower == 0)
	pedals := words.Of("window.tuning.pedals.tone", "string", words.OpenString(s.called(t.Chosen)))
	switch {
	case t.Chosen == 0:
		pedals = words.Of("window.tuning.pedals.page")
	case t.Tone == t.Chosen:
		pedals = words.Of("window.tuning.pedals.stop")
	}
	s.pedal.Say(pedals.String(), c.Soft)
}

func (s *Screen) called(number int) string {
	for _, r := range s.Tuner.Live.Strings {
		if r.String == number {
			return r.Name
		}
	}
	return ""
}

// stringView is one string of the row.
type stringView struct {
	number int
	box    *fyne.Container
	name   *canvas.Text
	state  *prose.Fit
	tone   *prose.Button
}

func newStringView(number int, t *tuner.Tuner) *stringView {
	v := &stringView{number: number, name: canvas.NewText("", nil), state: fitted(27, false, fyne.TextAlignCenter)}
	v.name.TextSize, v.name.TextStyle.Bold, v.name.Alignment = 50, true, fyne.TextAlignCenter
	v.tone = prose.NewButton("", func() { t.Sound(number) })
	v.box = container.NewVBox(v.name, container.New(layout.NewCustomPaddedLayout(0, 0, 8, 8), v.state), container.NewCenter(v.tone))
	return v
}

func (v *stringView) show(r tuning.Reading, t *tuner.Tuner, ink, soft color.NRGBA) {
	prose.Write(v.name, words.OpenString(r.Name).String(), ink)
	c := ink
	if r.Trust == "" {
		c = soft
	}
	v.state.Say(r.Shape()+"  "+r.Say(), c)
	label := words.Say("window.tuning.tone", "string", words.OpenString(r.Name))
	if t.Tone == v.number {
		label = words.Say("window.tuning.tone.stop")
	}
	prose.Mark(v.tone, t.Chosen == v.number)
	if v.tone.Text != label {
		v.tone.SetText(label)
	}
}
