package report

import (
	"math"
	"strings"

	"endpin/dsp"
	"endpin/piece/report/paper"
)

// px is a length in a drawing.
type px = paper.Px

type point struct{ x, y float64 }

const (
	step = 1.2 // of the drawing that one point of a trace stands for
	near = 0.25
)

// trace draws a stretch of the pitch track: where it leaves the lane, or where
// there is no pitch, the line is broken. Frames within a step are averaged and
// points that lie on the line between their neighbours left out, so that the
// size of a page goes with its paper and not with the length of the take.
func trace(track []dsp.Frame, place func(dsp.Frame) (point, bool)) string {
	var d strings.Builder
	var run []point
	var sum point
	count := 0.0
	flush := func() {
		if count > 0 {
			run = append(run, point{sum.x / count, sum.y / count})
		}
		sum, count = point{}, 0
	}
	end := func() {
		flush()
		draw(&d, thin(run))
		run = run[:0]
	}
	for _, f := range track {
		p, ok := place(f)
		if !ok {
			end()
			continue
		}
		if count > 0 && math.Floor(p.x/step) != math.Floor(sum.x/count/step) {
			flush()
		}
		sum.x, sum.y, count = sum.x+p.x, sum.y+p.y, count+1
	}
	end()
	return d.String()
}

func draw(d *strings.Builder, run []point) {
	if len(run) < 2 {
		return
	}
	for i, p := range run {
		switch i {
		case 0:
			d.WriteString("M")
		case 1:
			d.WriteString("L")
		default:
			d.WriteString(" ")
		}
		d.WriteString(px(p.x).String() + " " + px(p.y).String())
	}
}

// thin leaves out the points nearer than near to the line between those kept
// (the Ramer–Douglas–Peucker rule).
func thin(run []point) []point {
	if len(run) < 3 {
		return run
	}
	a, b := run[0], run[len(run)-1]
	far, at := 0.0, 0
	length := math.Hypot(b.x-a.x, b.y-a.y)
	for i := 1; i < len(run)-1; i++ {
		p := run[i]
		off := math.Hypot(p.x-a.x, p.y-a.y)
		if length > 0 {
			off = math.Abs((b.x-a.x)*(a.y-p.y)-(a.x-p.x)*(b.y-a.y)) / length
		}
		if off > far {
			far, at = off, i
		}
	}
	if far <= near {
		return []point{a, b}
	}
	left := thin(run[: at+1 : at+1])
	return append(left[:len(left)-1:len(left)-1], thin(run[at:])...)
}
