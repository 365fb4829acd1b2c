package ui

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"endpin/ui/desk"
	"endpin/ui/fit"
	"endpin/ui/ink"
	"endpin/ui/words"
)

// pedals says what the way chosen is, and what two pedals, or the arrow keys,
// would do. What the desk has to say stands in the place of the first; while
// somebody plays, what is wrong with the level, if anything is. And while a recording is
// heard, how far it is stands in the place of all.
type pedals struct {
	desk *desk.Desk
	box  *fyne.Container
	row  *fyne.Container
	said *widget.Label
	left *canvas.Text
	now  *canvas.Text
	next *canvas.Text
}

func newPedals(d *desk.Desk, progress fyne.CanvasObject) *pedals {
	p := &pedals{desk: d}
	for _, t := range []**canvas.Text{&p.left, &p.now, &p.next} {
		*t = canvas.NewText("", color.Black)
		(*t).TextSize = ink.Foot
	}
	p.now.TextStyle.Bold = true
	p.said = words.Wrapped("")
	p.said.TextStyle.Bold = true
	p.row = container.NewBorder(nil, nil, nil, container.NewHBox(p.now, p.next, fit.Gap(10)),
		container.NewStack(container.NewHBox(fit.Gap(8), p.left), p.said))
	p.box = container.NewStack(p.row, progress)
	return p
}

func (p *pedals) refresh() {
	d := p.desk
	fit.Hide(p.row, d.Judging)
	words.Tell(p.said, d.Message)
	fit.Hide(p.said, d.Message == "")
	fit.Hide(p.left, d.Message != "")
	c := ink.Look{Dark: d.Settings.Dark}.Colours()
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
	changed := words.Rewrite(p.left, left, tone)
	if p.left.TextStyle.Bold != bold {
		p.left.TextStyle.Bold, changed = bold, true
	}
	changed = words.Rewrite(p.now, now, c.Ink) || changed
	changed = words.Rewrite(p.next, next, c.Soft) || changed
	if changed {
		p.box.Refresh()
	}
}
