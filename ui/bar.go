package ui

import (
	"fmt"
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/widget"

	"endpin/ui/desk"
)

// bar is what stands under the page: start, ways, measures, tempo.
type bar struct {
	desk     *desk.Desk
	box      *fyne.Container
	start    *widget.Button
	ways     []*widget.Button
	measures *widget.Entry
	tempo    *widget.Entry
	about    *widget.Label
}

func newBar(w *Window) *bar {
	d := w.desk
	b := &bar{desk: d}
	b.start = widget.NewButton("Start", func() { d.StartStop(); w.win.Canvas().Unfocus() })
	b.start.Importance = widget.HighImportance
	ways := container.NewHBox()
	for i, way := range desk.Ways {
		button := widget.NewButton(fmt.Sprintf("%d  %s", i+1, way.Name()), func() { d.SetWay(way) })
		b.ways = append(b.ways, button)
		ways.Add(button)
	}
	b.measures = widget.NewEntry()
	b.measures.OnSubmitted = func(s string) {
		if d.TypeRange(s) == nil {
			w.win.Canvas().Unfocus()
		}
	}
	b.tempo = widget.NewEntry()
	b.tempo.OnSubmitted = func(s string) {
		if d.TypeQPM(s) == nil {
			w.win.Canvas().Unfocus()
		}
	}
	minus := widget.NewButton("−", func() { d.SetQPM(d.Work.QPM - 1) })
	plus := widget.NewButton("+", func() { d.SetQPM(d.Work.QPM + 1) })
	tap := widget.NewButton("Tap", d.Tap)
	whole := widget.NewButton("All", func() { d.SetRange(0, len(d.Score.Piece.Measures)-1) })
	more := widget.NewButton("Settings", w.settings)
	takes := widget.NewButton("Takes", func() { w.side.toggle() })
	plan := widget.NewButton("Plan", func() { w.plan.toggle() })
	open := widget.NewButton("Open recording", w.open)
	b.about = widget.NewLabel("")
	b.about.Truncation = fyne.TextTruncateEllipsis
	b.box = container.NewVBox(
		container.NewBorder(nil, nil, container.NewHBox(wide(b.start, 150), ways), nil, b.about),
		container.NewHBox(
			widget.NewLabel("Measures"), wide(b.measures, 110), whole,
			widget.NewLabel("   Tempo ♩ ="), minus, wide(b.tempo, 80), plus, tap,
			layout.NewSpacer(), plan, takes, open, more,
		),
	)
	return b
}

// wide gives an object a width.
func wide(o fyne.CanvasObject, width float32) fyne.CanvasObject {
	return container.New(layout.NewGridWrapLayout(fyne.NewSize(width, o.MinSize().Height)), o)
}

func (b *bar) refresh() {
	d := b.desk
	text := "Start"
	if d.Running {
		text = "Stop"
	}
	if b.start.Text != text {
		b.start.SetText(text)
	}
	for i, way := range desk.Ways {
		importance := widget.LowImportance
		if way == d.Work.Way {
			importance = widget.MediumImportance
		}
		if b.ways[i].Importance != importance {
			b.ways[i].Importance = importance
			b.ways[i].Refresh()
		}
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
	if about := d.Work.Way.About(); b.about.Text != about {
		b.about.SetText(about)
	}
}

func focused(e *widget.Entry) bool {
	c := fyne.CurrentApp().Driver().CanvasForObject(e)
	return c != nil && c.Focused() == e
}

// pedals shows what two pedals, or the arrow keys, would do.
type pedals struct {
	desk *desk.Desk
	box  *fyne.Container
	line *canvas.Text
	now  *canvas.Text
}

func newPedals(d *desk.Desk) *pedals {
	p := &pedals{desk: d, line: canvas.NewText("", color.Black), now: canvas.NewText("", color.Black)}
	p.line.TextSize, p.now.TextSize = 15, 15
	p.now.TextStyle.Bold = true
	p.box = container.NewPadded(container.NewHBox(p.now, p.line))
	return p
}

func (p *pedals) refresh() {
	d := p.desk
	now := "Right pedal, Page Down or ▸:  stop"
	line := "      Space: stop"
	if !d.Running {
		all := d.Between()
		now = "Right pedal, Page Down or ▸:  " + all[d.At()].Name
		line = "      Left pedal, Page Up or ◂:  go on to “" + all[(d.At()+1)%len(all)].Name + "”      Space: start"
	}
	c := Look{d.Settings.Dark}.Colours()
	if p.now.Text != now || p.line.Text != line || p.line.Color != c.Soft {
		p.now.Text, p.line.Text, p.now.Color, p.line.Color = now, line, c.Ink, c.Soft
		p.box.Refresh()
	}
}
