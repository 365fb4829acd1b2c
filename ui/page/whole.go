package page

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"
	"slices"

	"endpin/piece/words"
	"endpin/ui/ink"
	"endpin/ui/mark"
	"endpin/ui/prose"
)

// SetWhole says what concerns the whole take. It stands over the page, however far that was
// scrolled.
func (v *View) SetWhole(marks []mark.Mark) {
	if slices.Equal(v.over.marks, marks) {
		return
	}
	v.over.marks = marks
	v.over.draw()
}

// over is what stands over the page.
type over struct {
	widget.BaseWidget
	view  *View
	marks []mark.Mark
	lines *fyne.Container
	under *fyne.Container // all, with the page under it
}

func newOver(v *View) *over {
	o := &over{view: v, lines: container.NewVBox()}
	o.ExtendBaseWidget(o)
	o.Hide()
	o.under = container.NewBorder(o, nil, nil, nil, v.scroll)
	return o
}

const overShape = 20 // across, in Fyne's units

// draw writes each mark in a line.
func (o *over) draw() {
	o.lines.RemoveAll()
	c := o.view.colours
	for _, m := range o.marks {
		tone := c.Ink
		if m.Aside {
			tone = c.Soft
		}
		k := ink.New(fyne.NewSize(overShape, overShape), o.view.scale())
		k.Shape(ink.Of(m.Kind), overShape/2, overShape/2, 0.4*overShape, m.Fair || m.Aside, tone, c.Paper)
		shape := k.Object()
		shape.SetMinSize(fyne.NewSize(overShape, overShape))
		text := canvas.NewText(words.Say("window.page.whole", "mark", m.Text), tone)
		text.TextStyle.Bold, text.TextSize = !m.Aside, theme.TextSize()
		o.lines.Add(container.NewBorder(nil, nil, container.NewPadded(container.NewCenter(shape)), nil, container.NewVBox(prose.NewFit(text))))
	}
	if len(o.marks) == 0 {
		o.Hide()
	} else {
		o.Show()
	}
	at := o.view.top()
	o.under.Refresh()
	o.view.settle(at)
}

// high is how much of the page's height it takes.
func (o *over) high() float32 {
	if !o.Visible() {
		return 0
	}
	return o.MinSize().Height + theme.Padding()
}

// Tapped implements fyne.Tappable.
func (o *over) Tapped(*fyne.PointEvent) {
	if o.view.Whole != nil {
		o.view.Whole()
	}
}

// Cursor implements desktop.Cursorable.
func (o *over) Cursor() desktop.Cursor { return desktop.PointerCursor }

// CreateRenderer implements fyne.Widget.
func (o *over) CreateRenderer() fyne.WidgetRenderer {
	return widget.NewSimpleRenderer(container.NewPadded(o.lines))
}
