package ink

import (
	"image/color"
	"math"
	"slices"

	"fyne.io/fyne/v2"

	"endpin/piece/finding"
)

// Form is a shape that tells a kind of finding by itself, without colour, the same as
// on the page to print. About a middle, one to its tips; all outlines go round the same
// way, but for holes.
type Form struct {
	Bodies  [][]fyne.Position // hollow where it is not sure
	Strokes [][]fyne.Position // too thin for that
	Holes   [][]fyne.Position // cut out of the bodies where it is sure
	Hollow  [][]fyne.Position // cut out where it is not; nil is the bodies, smaller
}

// The forms: up is sharp, down flat, right late, left early; a bar that ends before its
// line was held short, one that runs over it long; three strokes unevenly apart are
// another rhythm.
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
	Rhythm    = outlined(0.09, box(-1.05, -0.9, -0.71, 0.9), box(-0.47, -0.9, -0.13, 0.9), box(0.71, -0.9, 1.05, 0.9))
	Scattered = outlined(0.09, box(-1.05, -0.1, -0.45, 0.5), box(-0.3, -1.05, 0.3, -0.45), box(0.45, 0.45, 1.05, 1.05))
	Ring      = Form{Bodies: [][]fyne.Position{arc(0, 0, 1, 0, 360)}, Holes: [][]fyne.Position{arc(0, 0, 0.6, 360, 0)},
		Hollow: [][]fyne.Position{arc(0, 0, 0.86, 360, 0)}}
	Plus = outlined(0.13, []fyne.Position{{X: -0.26, Y: -1}, {X: 0.26, Y: -1}, {X: 0.26, Y: -0.26}, {X: 1, Y: -0.26}, {X: 1, Y: 0.26}, {X: 0.26, Y: 0.26},
		{X: 0.26, Y: 1}, {X: -0.26, Y: 1}, {X: -0.26, Y: 0.26}, {X: -1, Y: 0.26}, {X: -1, Y: -0.26}, {X: -0.26, Y: -0.26}})
	Back      = Form{Bodies: [][]fyne.Position{arrowhead, hook(0.73, 0.36, -0.57)}, Hollow: [][]fyne.Position{smaller(arrowhead), turned(hook(0.64, 0.45, -0.48))}}
	Metronome = Form{Bodies: [][]fyne.Position{{{X: -0.38, Y: -1.05}, {X: 0.38, Y: -1.05}, {X: 0.86, Y: 1.05}, {X: -0.86, Y: 1.05}}},
		Holes:  [][]fyne.Position{{{X: -0.17, Y: -0.76}, {X: -0.5, Y: 0.76}, {X: 0.5, Y: 0.76}, {X: 0.32, Y: 0}, {X: -0.19, Y: 0.5}, {X: -0.34, Y: 0.32}, {X: 0.23, Y: -0.25}, {X: 0.11, Y: -0.76}}},
		Hollow: [][]fyne.Position{{{X: -0.27, Y: -0.91}, {X: -0.68, Y: 0.91}, {X: 0.68, Y: 0.91}, {X: 0.27, Y: -0.91}}}}
	Pause = outlined(0.13, box(-0.76, -0.95, -0.23, 0.95), box(0.23, -0.95, 0.76, 0.95))
	End   = outlined(0.13, box(-0.95, -0.95, -0.57, 0.95), box(0, -0.95, 0.86, 0.95))
	Fork  = outlined(0.09, []fyne.Position{{X: -0.67, Y: -1.05}, {X: -0.34, Y: -1.05}, {X: -0.34, Y: 0}, {X: 0.34, Y: 0}, {X: 0.34, Y: -1.05}, {X: 0.67, Y: -1.05},
		{X: 0.67, Y: 0.33}, {X: 0.17, Y: 0.33}, {X: 0.17, Y: 1.05}, {X: -0.17, Y: 1.05}, {X: -0.17, Y: 0.33}, {X: -0.67, Y: 0.33}})
	Unsure = Form{Strokes: [][]fyne.Position{slices.Concat(arc(0, -0.45, 0.6, 180, 395), []fyne.Position{{X: 0.17, Y: 0.3}, {X: -0.17, Y: 0.3}, {X: -0.17, Y: 0.05}},
		arc(0, -0.45, 0.26, 395, 180)), box(-0.2, 0.6, 0.2, 1)}}
)

func box(left, top, right, bottom float32) []fyne.Position {
	return []fyne.Position{{X: left, Y: top}, {X: right, Y: top}, {X: right, Y: bottom}, {X: left, Y: bottom}}
}

// arc goes round a middle from one angle to another, in degrees from the right,
// downward.
func arc(x, y, r float32, from, to float64) []fyne.Position {
	const steps = 24
	out := make([]fyne.Position, steps+1)
	for i := range out {
		sin, cos := math.Sincos((from + (to-from)*float64(i)/steps) * math.Pi / 180)
		out[i] = fyne.NewPos(x+r*float32(cos), y+r*float32(sin))
	}
	return out
}

// arrowhead and hook are the way back: from one place to another before it.
var arrowhead = []fyne.Position{{X: -1.05, Y: -0.29}, {X: -0.19, Y: -1.05}, {X: -0.19, Y: 0.48}}

func hook(outer, inner, end float32) []fyne.Position {
	const x, y = 0.38, 0.25
	return slices.Concat([]fyne.Position{{X: -0.19, Y: y - outer}}, arc(x, y, outer, -90, 90),
		[]fyne.Position{{X: end, Y: y + outer}, {X: end, Y: y + inner}}, arc(x, y, inner, 90, -90), []fyne.Position{{X: -0.19, Y: y - inner}})
}

// turned is an outline the other way round: a hole.
func turned(outline []fyne.Position) []fyne.Position {
	out := slices.Clone(outline)
	slices.Reverse(out)
	return out
}

// outlined is a form of narrow bodies: not sure, a line goes round each, everywhere as
// wide.
func outlined(line float32, bodies ...[]fyne.Position) Form {
	f := Form{Bodies: bodies}
	for _, b := range bodies {
		f.Hollow = append(f.Hollow, turned(inset(b, line)))
	}
	return f
}

// inset is an outline moved inward by d. Its corners are right angles.
func inset(outline []fyne.Position, d float32) []fyne.Position {
	n := len(outline)
	out := make([]fyne.Position, n)
	for i, p := range outline {
		before, after := outline[(i+n-1)%n], outline[(i+1)%n]
		in := func(from, to fyne.Position) fyne.Position { // to the right of the way
			way := to.Subtract(from)
			length := float32(math.Hypot(float64(way.X), float64(way.Y)))
			return fyne.NewPos(-way.Y/length*d, way.X/length*d)
		}
		out[i] = p.Add(in(before, p)).Add(in(p, after))
	}
	return out
}

// forms are the shapes as they are drawn here.
var forms = map[finding.Shape]Form{
	finding.Up: Up, finding.Down: Down, finding.Right: Right, finding.Left: Left, finding.ShortBar: Short, finding.LongBar: Long,
	finding.NarrowGap: Narrow, finding.WideGap: Wide, finding.Strokes: Rhythm, finding.Scattered: Scattered, finding.Diamond: Diamond, finding.Ring: Ring, finding.Plus: Plus,
	finding.Back: Back, finding.Metronome: Metronome, finding.TwoBars: Pause, finding.EndBar: End, finding.TuningFork: Fork, finding.Unsure: Unsure,
}

// Of is the form of a kind.
func Of(k finding.Kind) Form { return forms[k.Row().Shape] }

// Filled are the outlines of what is painted, and Cut of what is cut out of it.
func (f Form) Filled() [][]fyne.Position { return slices.Concat(f.Bodies, f.Strokes) }

// Cut are the holes of a form.
func (f Form) Cut(hollow bool) [][]fyne.Position {
	switch {
	case !hollow:
		return f.Holes
	case f.Hollow != nil:
		return f.Hollow
	}
	var cut [][]fyne.Position
	for _, body := range f.Bodies {
		cut = append(cut, smaller(body))
	}
	return cut
}

// smaller is a body made smaller about its own middle, the other way round.
func smaller(body []fyne.Position) []fyne.Position {
	const share = 0.58
	var middle fyne.Position
	for _, p := range body {
		middle = middle.AddXY(p.X/float32(len(body)), p.Y/float32(len(body)))
	}
	out := make([]fyne.Position, len(body))
	for i, p := range body {
		out[i] = fyne.NewPos(middle.X+share*(p.X-middle.X), middle.Y+share*(p.Y-middle.Y))
	}
	return turned(out)
}

// Shape draws a form about a place, r from its middle to its tips; hollow where
// it is not sure.
func (k *Picture) Shape(form Form, x, y, r float32, hollow bool, c, paper color.NRGBA) {
	put := func(outlines [][]fyne.Position, c color.NRGBA) {
		for _, o := range outlines {
			out := make([]fyne.Position, len(o))
			for i, p := range o {
				out[i] = fyne.NewPos(x+p.X*r, y+p.Y*r)
			}
			k.Fill(c, out)
		}
	}
	put(form.Filled(), c)
	put(form.Cut(hollow), paper)
}
