package ink

import (
	"image/color"

	"fyne.io/fyne/v2"

	"endpin/piece/finding"
)

// Form is a shape that tells a kind of finding by itself, without colour.
type Form []fyne.Position

// The forms, the same as under the page's measures: up is sharp, down flat, right
// late, left early, a diamond anything else.
var (
	Up      = Form{{X: 0, Y: -1}, {X: 0.95, Y: 0.8}, {X: -0.95, Y: 0.8}}
	Down    = Form{{X: 0, Y: 1}, {X: -0.95, Y: -0.8}, {X: 0.95, Y: -0.8}}
	Right   = Form{{X: 1, Y: 0}, {X: -0.8, Y: 0.95}, {X: -0.8, Y: -0.95}}
	Left    = Form{{X: -1, Y: 0}, {X: 0.8, Y: -0.95}, {X: 0.8, Y: 0.95}}
	Diamond = Form{{X: 0, Y: -1}, {X: 1, Y: 0}, {X: 0, Y: 1}, {X: -1, Y: 0}}
)

// Of is the form of a kind.
func Of(k finding.Kind) Form {
	switch k {
	case finding.Sharp, finding.SharpAfterShift, finding.WideHand:
		return Up
	case finding.Flat, finding.FlatAfterShift, finding.NarrowHand:
		return Down
	case finding.Late, finding.HeldLong:
		return Right
	case finding.Early, finding.HeldShort:
		return Left
	}
	return Diamond
}

// Shape draws a form about a place, r from its middle to its tips; hollow where
// it is not sure.
func (k *Picture) Shape(form Form, x, y, r float32, hollow bool, c, paper color.NRGBA) {
	at := func(r float32) []fyne.Position {
		out := make([]fyne.Position, len(form))
		for i, p := range form {
			out[i] = fyne.NewPos(x+p.X*r, y+p.Y*r)
		}
		return out
	}
	k.Fill(c, at(r))
	if hollow {
		k.Fill(paper, at(r*0.55))
	}
}
