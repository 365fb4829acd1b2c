package ui

import (
	"fmt"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"endpin/piece/words"
	"endpin/ui/desk"
	"endpin/ui/desk/work"
	"endpin/ui/far"
	"endpin/ui/fit"
	"endpin/ui/ink"
	"endpin/ui/level"
	"endpin/ui/prose"
)

// bar is what stands under the page, in two rows beside a large start:
//
//	Start │ the ways                               plan, takes, a recording
//	      │ measures   tempo   what sounds                            level
type bar struct {
	desk     *desk.Desk
	box      *fyne.Container
	start    *prose.Button
	ways     []*prose.Button
	measures *prose.Entry
	tempo    *prose.Entry
	sounds   []*prose.Button // of desk.AllSounds
	sounding *fyne.Container
	level    *level.Bar
	rows     *fyne.Container
	far      *far.Sign // in the place of the rows while somebody plays
}

const (
	startWidth = 168
	startText  = 30
	stopShare  = 0.25 // of the bar, for the letters of Stop
)

// begins is what the large button has: its width, and all the height.
type begins struct{ b *bar }

// MinSize implements fyne.Layout.
func (x begins) MinSize(all []fyne.CanvasObject) fyne.Size {
	wide := float32(startWidth)
	if x.b.desk.Running {
		wide = max(wide, all[0].MinSize().Width)
	}
	return fyne.NewSize(wide, startText)
}

// Layout implements fyne.Layout.
func (begins) Layout(all []fyne.CanvasObject, size fyne.Size) { all[0].Resize(size) }

func newBar(w *Window) *bar {
	d := w.desk
	b := &bar{desk: d, level: level.New(), far: far.NewSign(d, w.win)}
	free := w.win.Canvas().Unfocus // so that keys are keys again
	b.start = prose.NewLarge(words.Say("window.bar.start"), startText, func() { d.StartStop(); free() })
	b.start.Importance = widget.HighImportance
	var ways []fyne.CanvasObject
	for i, way := range work.Ways {
		button := prose.NewButton(fmt.Sprintf("%d  %s", i+1, way.Name()), func() { d.SetWay(way); free() })
		b.ways = append(b.ways, button)
		ways = append(ways, button)
	}
	b.measures = b.typed(func(s string) error {
		if strings.EqualFold(strings.TrimSpace(s), words.Say("window.bar.all")) {
			s = ""
		}
		return d.TypeRange(s)
	})
	b.tempo = b.typed(d.TypeQPM)
	b.sounding = container.NewHBox()
	for _, s := range work.AllSounds {
		button := prose.NewButton(s.Name(), func() { d.SetSound(s); free() })
		b.sounds = append(b.sounds, button)
		b.sounding.Add(button)
	}
	minus := prose.NewButton("−", func() { d.SetQPM(d.Work.QPM - 1) })
	plus := prose.NewButton("+", func() { d.SetQPM(d.Work.QPM + 1) })
	tap := prose.NewButton(words.Say("window.bar.tap"), d.Tap)
	whole := prose.NewButton(words.Say("window.bar.whole"), func() { d.SetRange(0, len(d.Score.Piece.Measures)-1) })
	takes := w.columns.button(words.Say("window.bar.takes"), w.side.Box)
	plan := w.columns.button(words.Say("window.bar.plan"), w.plan.Box)
	open := prose.NewButton(words.Say("window.bar.open"), w.open)
	pencil := prose.NewButton(words.Say("window.pencil"), func() { w.takePencil(); free() })
	tools := container.NewHBox(plan, takes, pencil, open)
	settings := []fyne.CanvasObject{container.NewHBox(widget.NewLabel(words.Say("window.bar.measures")), fit.Wide(b.measures, 96), whole, fit.Gap(10)),
		container.NewHBox(widget.NewLabel(words.Say("window.bar.tempo")), minus, fit.Wide(b.tempo, 72), plus, tap, fit.Gap(10)), b.sounding}
	b.rows = fit.Rows(func(width float32) [][]fyne.CanvasObject {
		if first := append(slices.Clone(ways), nil, tools); fit.Together(first...) <= width {
			return [][]fyne.CanvasObject{first, append(slices.Clone(settings), nil, b.level.Box)}
		}
		if fit.Together(ways...) > width { // half a screen: each where there is room for it
			return [][]fyne.CanvasObject{slices.Concat(ways, settings, []fyne.CanvasObject{nil, tools})}
		}
		return [][]fyne.CanvasObject{ways, append(slices.Clone(settings), nil, tools)}
	})
	b.box = container.NewPadded(container.NewBorder(nil, nil, container.NewHBox(container.New(begins{b}, b.start), fit.Gap(6)), nil,
		fit.Instead(b.rows, b.far.Box)))
	return b
}

// typed is a line whose refusal goes where the line is left as it was.
func (b *bar) typed(take func(string) error) *prose.Entry {
	refused := ""
	e := prose.NewEntry(func(s string) bool {
		err := take(s)
		if refused = ""; err != nil {
			refused = b.desk.Message
		}
		return err == nil
	})
	e.Left = func() {
		if refused != "" && b.desk.Message == refused {
			b.desk.Say("")
		}
		refused = ""
	}
	return e
}

func (b *bar) refresh() {
	d := b.desk
	text := words.Say("window.bar.start")
	if d.Going() {
		text = words.Say("window.bar.stop")
	}
	if b.start.Text != text {
		b.start.SetText(text)
	}
	size := float32(startText)
	if d.Running { // what the pedal does then
		size = b.far.Letters(text, b.box.Size().Width*stopShare)
	}
	b.start.Grow(size)
	fit.Hide(b.rows, d.Running)
	if b.far.Refresh(); d.Running { // nothing else is seen
		return
	}
	for i, way := range work.Ways {
		prose.Mark(b.ways[i], way == d.Work.Way)
	}
	sounds, now := d.Work.Way.Sounds(), d.Sound()
	fit.Hide(b.sounding, len(sounds) == 0)
	for i, s := range work.AllSounds {
		if name := s.NameIn(d.Work.Way); b.sounds[i].Text != name {
			b.sounds[i].SetText(name)
		}
		prose.Mark(b.sounds[i], s == now)
		fit.Hide(b.sounds[i], !slices.Contains(sounds, s))
	}
	set := func(e *prose.Entry, text string) {
		if e.Text != text && !e.Entered() {
			e.SetText(text)
		}
	}
	measures := d.Range()
	if d.Score.Whole(d.Work.First, d.Work.Last) {
		measures = words.Say("window.bar.all")
	}
	set(b.measures, measures)
	set(b.tempo, fmt.Sprintf("%.4g", d.Work.QPM))
	b.level.Show(d.Loud, ink.Look{Dark: d.Settings.Dark})
}
