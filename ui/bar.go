package ui

import (
	"fmt"
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"endpin/ui/desk"
)

// bar is what stands under the page, in two rows beside a large start:
//
//	Start │ the ways                               plan, takes, a recording
//	      │ measures   tempo   what sounds                            level
type bar struct {
	desk     *desk.Desk
	box      *fyne.Container
	start    *widget.Button
	ways     []*widget.Button
	measures *widget.Entry
	tempo    *widget.Entry
	sounds   []*widget.Button // of desk.AllSounds
	sounding *fyne.Container
	level    *level
}

const (
	startWidth = 168
	startText  = 30
)

func newBar(w *Window) *bar {
	d := w.desk
	b := &bar{desk: d, level: newLevel()}
	free := w.win.Canvas().Unfocus // so that keys are keys again
	b.start = widget.NewButton("Start", func() { d.StartStop(); free() })
	b.start.Importance = widget.HighImportance
	ways := container.NewHBox()
	for i, way := range desk.Ways {
		button := widget.NewButton(fmt.Sprintf("%d  %s", i+1, way.Name()), func() { d.SetWay(way); free() })
		b.ways = append(b.ways, button)
		ways.Add(button)
	}
	b.measures = widget.NewEntry()
	b.measures.OnSubmitted = func(s string) {
		if d.TypeRange(s) == nil {
			free()
		}
	}
	b.tempo = widget.NewEntry()
	b.tempo.OnSubmitted = func(s string) {
		if d.TypeQPM(s) == nil {
			free()
		}
	}
	b.sounding = container.NewHBox(gap(10))
	for _, s := range desk.AllSounds {
		button := widget.NewButton(s.Name(), func() { d.SetSound(s); free() })
		b.sounds = append(b.sounds, button)
		b.sounding.Add(button)
	}
	minus := widget.NewButton("−", func() { d.SetQPM(d.Work.QPM - 1) })
	plus := widget.NewButton("+", func() { d.SetQPM(d.Work.QPM + 1) })
	tap := widget.NewButton("Tap", d.Tap)
	whole := widget.NewButton("All", func() { d.SetRange(0, len(d.Score.Piece.Measures)-1) })
	takes := widget.NewButton("Takes", func() { w.side.toggle() })
	plan := widget.NewButton("Plan", func() { w.plan.toggle() })
	open := widget.NewButton("Open recording", w.open)
	for _, quiet := range []*widget.Button{whole, tap, takes, plan, open} {
		quiet.Importance = widget.LowImportance
	}
	first := container.NewBorder(nil, nil, ways, container.NewHBox(plan, takes, open))
	second := container.NewBorder(nil, nil, container.NewHBox(
		widget.NewLabel("Measures"), wide(b.measures, 96), whole, gap(10),
		widget.NewLabel("Tempo ♩ ="), minus, wide(b.tempo, 72), plus, tap,
		b.sounding), b.level.box)
	large := container.NewThemeOverride(b.start, larger{startText})
	b.box = container.NewPadded(container.NewBorder(nil, nil, container.NewHBox(container.New(&across{startWidth}, large), gap(6)), nil,
		container.NewVBox(first, second)))
	return b
}

// gap is room of a width.
func gap(width float32) fyne.CanvasObject {
	r := canvas.NewRectangle(color.Transparent)
	r.SetMinSize(fyne.NewSize(width, 1))
	return r
}

// across gives one object a width of its own, and the height there is.
type across struct{ width float32 }

func (a *across) MinSize(all []fyne.CanvasObject) fyne.Size {
	return fyne.NewSize(a.width, all[0].MinSize().Height)
}
func (a *across) Layout(all []fyne.CanvasObject, size fyne.Size) { all[0].Resize(size) }

// larger is the look of the window with larger text.
type larger struct{ text float32 }

func (l larger) now() fyne.Theme { return fyne.CurrentApp().Settings().Theme() }

// Color implements fyne.Theme.
func (l larger) Color(n fyne.ThemeColorName, v fyne.ThemeVariant) color.Color {
	return l.now().Color(n, v)
}

// Font implements fyne.Theme.
func (l larger) Font(s fyne.TextStyle) fyne.Resource { return l.now().Font(s) }

// Icon implements fyne.Theme.
func (l larger) Icon(n fyne.ThemeIconName) fyne.Resource { return l.now().Icon(n) }

// Size implements fyne.Theme.
func (l larger) Size(n fyne.ThemeSizeName) float32 {
	if n == theme.SizeNameText {
		return l.text
	}
	return l.now().Size(n)
}

// wide gives an object a width.
func wide(o fyne.CanvasObject, width float32) fyne.CanvasObject {
	return container.New(layout.NewGridWrapLayout(fyne.NewSize(width, o.MinSize().Height)), o)
}

func (b *bar) refresh() {
	d := b.desk
	text := "Start"
	if d.Going() {
		text = "Stop"
	}
	if b.start.Text != text {
		b.start.SetText(text)
	}
	for i, way := range desk.Ways {
		chosen(b.ways[i], way == d.Work.Way)
	}
	sounds, now := d.Work.Way.Sounds(), d.Sound()
	hide(b.sounding, len(sounds) == 0)
	for i, s := range desk.AllSounds {
		if name := s.NameIn(d.Work.Way); b.sounds[i].Text != name {
			b.sounds[i].SetText(name)
		}
		chosen(b.sounds[i], s == now)
		hide(b.sounds[i], !contains(sounds, s))
	}
	set := func(e *widget.Entry, text string) {
		if e.Text != text && !focused(e) {
			e.SetText(text)
		}
	}
	measures := d.Range()
	if d.Score.Whole(d.Work.First, d.Work.Last) {
		measures = "all"
	}
	set(b.measures, measures)
	set(b.tempo, fmt.Sprintf("%.4g", d.Work.QPM))
	b.level.show(d.Loud, Look{d.Settings.Dark})
}

func contains(all []desk.Sound, s desk.Sound) bool {
	for _, x := range all {
		if x == s {
			return true
		}
	}
	return false
}

// chosen shows whether a button is the one chosen of its row.
func chosen(b *widget.Button, yes bool) {
	importance := widget.LowImportance
	if yes {
		importance = widget.MediumImportance
	}
	if b.Importance != importance {
		b.Importance = importance
		b.Refresh()
	}
}

func focused(e *widget.Entry) bool {
	c := fyne.CurrentApp().Driver().CanvasForObject(e)
	return c != nil && c.Focused() == e
}

// pedals says what the way chosen is, and what two pedals, or the arrow keys,
// would do. While somebody plays it says what is wrong with the level, if
// anything is.
type pedals struct {
	desk *desk.Desk
	box  *fyne.Container
	left *canvas.Text
	now  *canvas.Text
	next *canvas.Text
}

// footText is a size at which what hangs under the line is drawn whole: text is
// given whole pixels, and at 15 its lowest row falls outside them.
const footText = 16

func newPedals(d *desk.Desk) *pedals {
	p := &pedals{desk: d}
	for _, t := range []**canvas.Text{&p.left, &p.now, &p.next} {
		*t = canvas.NewText("", color.Black)
		(*t).TextSize = footText
	}
	p.now.TextStyle.Bold = true
	p.box = container.NewPadded(container.NewBorder(nil, nil, container.NewHBox(gap(2), p.left), container.NewHBox(p.now, p.next, gap(6))))
	return p
}

func (p *pedals) refresh() {
	d := p.desk
	c := Look{d.Settings.Dark}.Colours()
	left, bold := d.Work.Way.About(), false
	now, next := "Pedal ▸ or Space: stop", ""
	if !d.Going() {
		all := d.Between()
		now = "Pedal ▸  " + all[d.At()].Name
		next = "   Pedal ◂  go on to “" + all[(d.At()+1)%len(all)].Name + "”"
	} else if left = ""; d.Loud.Say != "" {
		left, bold = d.Loud.Say, true
	}
	tone := c.Soft
	if bold {
		tone = c.Ink
	}
	changed := rewrite(p.left, left, tone)
	if p.left.TextStyle.Bold != bold {
		p.left.TextStyle.Bold, changed = bold, true
	}
	changed = rewrite(p.now, now, c.Ink) || changed
	changed = rewrite(p.next, next, c.Soft) || changed
	if changed {
		p.box.Refresh()
	}
}

// rewrite changes a text where it is another; it says whether it was.
func rewrite(t *canvas.Text, text string, tone color.Color) bool {
	if t.Text == text && t.Color == tone {
		return false
	}
	t.Text, t.Color = text, tone
	return true
}
