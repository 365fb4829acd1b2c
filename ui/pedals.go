package ui

import (
	"image/color"

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
	p.said = prose.Wrapped("")
	p.said.TextStyle.Bold = true
	p.row = container.NewBorder(nil, nil, nil, container.NewHBox(p.now, fit.Gap(4), p.next, fit.Gap(10)),
		container.NewStack(container.NewHBox(fit.Gap(8), p.left), container.New(twoLines{}, p.said)))
	p.box = container.NewStack(fit.Space(twoLinesTall), p.row, progress)
	return p
}

func (p *pedals) refresh() {
	d := p.desk
	fit.Hide(p.row, d.Judging)
	prose.Tell(p.said, d.Message)
	fit.Hide(p.said, d.Message == "")
	fit.Hide(p.left, d.Message != "")
	c := ink.Look{Dark: d.Settings.Dark}.Colours()
	left, bold := d.Work.Way.About(), false
	now, next := words.Say("window.pedal.stop"), ""
	if !d.Going() {
		all := d.Between()
		now = words.Say("window.pedal.do", "deed", all[d.At()].Name)
		next = words.Say("window.pedal.go-on", "deed", all[(d.At()+1)%len(all)].Name)
	} else if left = ""; d.Loud.Say != "" {
		left, bold = d.Loud.Say, true
	}
	tone := c.Soft
	if bold {
		tone = c.Ink
	}
	changed := prose.Rewrite(p.left, left, tone)
	if p.left.TextStyle.Bold != bold {
		p.left.TextStyle.Bold, changed = bold, true
	}
	changed = prose.Rewrite(p.now, now, c.Ink) || changed
	changed = prose.Rewrite(p.next, next, c.Soft) || changed
	if changed {
		p.box.Refresh()
	}
}

// twoLines sets a message into room that is there always, so that nothing moves when
// it comes; only one of more lines takes more.
type twoLines struct{}

const (
	twoLinesTall = 44
	labelEdges   = 16 // what a label has above and below its letters
)

// MinSize implements fyne.Layout.
func (twoLines) MinSize(all []fyne.CanvasObject) fyne.Size {
	if !all[0].Visible() {
		return fyne.NewSize(0, 0)
	}
	m := all[0].MinSize()
	return fyne.NewSize(m.Width, max(twoLinesTall, m.Height-labelEdges))
}

// Layout implements fyne.Layout.
func (twoLines) Layout(all []fyne.CanvasObject, size fyne.Size) {
	all[0].Resize(fyne.NewSize(size.Width, size.Height+labelEdges))
	h := all[0].MinSize().Height // which hangs on its width
	all[0].Resize(fyne.NewSize(size.Width, h))
	all[0].Move(fyne.NewPos(0, (size.Height-h)/2))
}
