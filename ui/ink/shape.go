package ink

import (
	"image/color"
	"slices"

	"fyne.io/fyne/v2"

	"endpin/piece/finding"
)

// Form is a shape that tells a kind of finding by itself, without colour: its bodies
// are hollow where it is not sure, its strokes are too thin for that. About a middle,
// one to its tips; all outlines go round the same way.
type Form struct {
	Bodies  [][]fyne.Position
	Strokes [][]fyne.Position
}

// The forms, the same as on the page to print: up is sharp, down flat, right late,
// left early; a bar that ends before its line was held short, one that runs over it
// long; a diamond is anything else.
var (
	Up      = Form{Bodies: [][]fyne.Position{{{X: 0, Y: -1}, {X: 0.95, Y: 0.8}, {X: -0.95, Y: 0.8}}}}
	Down    = Form{Bodies: [][]fyne.Position{{{X: 0, Y: 1}, {X: -0.95, Y: -0.8}, {X: 0.95, Y: -0.8}}}}
	Right   = Form{Bodies: [][]fyne.Position{{{X: 1, Y: 0}, {X: -0.8, Y: 0.95}, {X: -0.8, Y: -0.95}}}}
	Left    = Form{Bodies: [][]fyne.Position{{{X: -1, Y: 0}, {X: 0.8, Y: -0.95}, {X: 0.8, Y: 0.95}}}}
	Diamond = Form{Bodies: [][]fyne.Position{{{X: 0, Y: -1}, {X: 1, Y: 0}, {X: 0, Y: 1}, {X: -1, Y: 0}}}}
	Short   = Form{Bodies: [][]fyne.Position{box(-1.05, -0.42, 0.15, 0.42)}, Strokes: [][]fyne.Position{box(0.55, -1, 0.85, 1)}}
	Long    = Form{Bodies: [][]fyne.Position{box(-1.05, -0.42, 1, 0.42)}, Strokes: [][]fyne.Position{box(0, -1, 0.3, 1)}}
	Narrow  = Form{Bodies: [][]fyne.Position{
		{{X: -0.15, Y: 0}, {X: -1.1, Y: 0.75}, {X: -1.1, Y: -0.75}}, {{X: 0.15, Y: 0}, {X: 1.1, Y: -0.75}, {X: 1.1, Y: 0.75}}}}
	Wide = Form{Bodies: [][]fyne.Position{
		{{X: -1.1, Y: 0}, {X: -0.15, Y: -0.75}, {X: -0.15, Y: 0.75}}, {{X: 1.1, Y: 0}, {X: 0.15, Y: 0.75}, {X: 0.15, Y: -0.75}}}}
)

func box(left, top, right, bottom float32) []fyne.Position {
	return []fyne.Position{{X: left, Y: top}, {X: right, Y: top}, {X: right, Y: bottom}, {X: left, Y: bottom}}
}

// forms are the shapes as they are drawn here.
var forms = map[finding.Shape]Form{
	finding.Up: Up, finding.Down: Down, finding.Right: Right, finding.Left: Left, finding.ShortBar: Short, finding.LongBar: Long,
	finding.NarrowGap: Narrow, finding.WideGap: Wide,
}

// Of is the form of a kind.
func Of(k finding.Kind) Form {
	if form, ok := forms[k.Row().Shape]; ok {
		return form
	}
	return Diamond
}

// Hole is a body made smaller about its own middle, the other way round: what is cut
// out of it where it is hollow.
func Hole(body []fyne.Position) []fyne.Position {
	const share = 0.58
	var middle fyne.Position
	for _, p := range body {
		middle = middle.AddXY(p.X/float32(len(body)), p.Y/float32(len(body)))
	}
	out := make([]fyne.Position, 0, len(body))
	for _, p := range slices.Backward(body) {
		out = append(out, fyne.NewPos(middle.X+share*(p.X-middle.X), middle.Y+share*(p.Y-middle.Y)))
	}
	return out
}

// Shape draws a form about a place, r from its middle to its tips; hollow where
// it is not sure.
func (k *Picture) Shape(form Form, x, y, r float32, hollow bool, c, paper color.NRGBA) {
	put := func(outline []fyne.Position, c color.NRGBA) {
		out := make([]fyne.Position, len(outline))
		for i, p := range outline {
			out[i] = fyne.NewPos(x+p.X*r, y+p.Y*r)
		}
		k.Fill(c, out)
	}
	for _, body := range form.Bodies {
		put(body, c)
		if hollow {
			put(Hole(body), paper)
		}
	}
	for _, stroke := range form.Strokes {
		put(stroke, c)
	}
}
