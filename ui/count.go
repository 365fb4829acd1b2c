package ui

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"

	"endpin/ui/fit"
	"endpin/ui/ink"
	"endpin/ui/prose"
)

// count is the beat of the count-in, large over the page.
type count struct {
	box  *fyne.Container
	leaf *canvas.Rectangle // on which it stands, so that no notes run through it
	text *canvas.Text
}

func newCount() *count {
	n := &count{leaf: canvas.NewRectangle(color.Transparent), text: canvas.NewText("", nil)}
	n.text.TextSize, n.text.TextStyle.Bold, n.text.Alignment = 150, true, fyne.TextAlignCenter
	n.leaf.CornerRadius, n.leaf.StrokeWidth = 16, 2
	n.leaf.SetMinSize(fyne.NewSize(210, 210))
	n.box = container.NewCenter(container.NewStack(n.leaf, n.text))
	n.box.Hide()
	return n
}

// show writes the beat, or nothing.
func (n *count) show(beat string, c ink.Colours) {
	fit.Hide(n.box, beat == "")
	if n.leaf.FillColor != color.Color(c.Paper) {
		n.leaf.FillColor, n.leaf.StrokeColor = c.Paper, c.Soft
		n.leaf.Refresh()
	}
	prose.Write(n.text, beat, c.Ink)
}
