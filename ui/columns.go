package ui

import (
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/theme"

	"endpin/ui/fit"
	"endpin/ui/prose"
)

// columns stand beside the page, one at a time: the plan, or the takes.
type columns struct {
	box     *fyne.Container
	entered map[fyne.CanvasObject]func() // what each does when it comes to stand there
	buttons map[fyne.CanvasObject]*prose.Button
	changed func() // the page has another width
}

func newColumns(changed func()) *columns {
	return &columns{box: container.NewStack(), entered: map[fyne.CanvasObject]func(){}, buttons: map[fyne.CanvasObject]*prose.Button{}, changed: changed}
}

// beside sets the columns beside the page, and in a narrow window in its place.
func (c *columns) beside(page fyne.CanvasObject) *fyne.Container {
	return container.New(besidePage{c}, page, c.box)
}

type besidePage struct{ c *columns }

// pageWide is how wide the page is beside a column at least: two plain measures of four
// quarters at the middle size, with their clef.
const pageWide = 400

// MinSize implements fyne.Layout.
func (b besidePage) MinSize(all []fyne.CanvasObject) fyne.Size {
	return all[0].MinSize().Max(all[1].MinSize())
}

// Layout implements fyne.Layout.
func (b besidePage) Layout(all []fyne.CanvasObject, size fyne.Size) {
	column := float32(0)
	if b.c.any() {
		if column = all[1].MinSize().Width + theme.Padding(); size.Width-column < pageWide {
			column = size.Width
		}
	}
	all[0].Move(fyne.NewPos(0, 0))
	all[0].Resize(fyne.NewSize(size.Width-column, size.Height))
	fit.Hide(all[0], column == size.Width)
	all[1].Move(fyne.NewPos(size.Width-column, 0))
	all[1].Resize(fyne.NewSize(column, size.Height))
}

// add adds a column, hidden.
func (c *columns) add(o fyne.CanvasObject, entered func()) {
	o.Hide()
	c.entered[o] = entered
	c.box.Add(o)
}

// button is one that opens a column, or closes it.
func (c *columns) button(label string, o fyne.CanvasObject) *prose.Button {
	b := prose.NewButton(label, func() { c.toggle(o) })
	c.buttons[o] = b
	return b
}

// any reports whether one is open.
func (c *columns) any() bool {
	return slices.ContainsFunc(c.box.Objects, fyne.CanvasObject.Visible)
}

// open opens a column where it is not.
func (c *columns) open(o fyne.CanvasObject) {
	if !o.Visible() {
		c.toggle(o)
	}
}

// toggle opens a column, or closes it.
func (c *columns) toggle(o fyne.CanvasObject) {
	open := !o.Visible()
	for _, x := range c.box.Objects {
		fit.Hide(x, x != o || !open)
		prose.Mark(c.buttons[x], x == o && open)
	}
	if open {
		c.entered[o]()
	}
	c.changed()
}
