package engraving

import (
	"fmt"
	"math"
	"strconv"
)

// grid puts the lines of one system on whole pixels, so that all five look
// alike on a screen: the system is moved by less than a pixel, so that every
// staff line begins on a pixel; it is thick a whole number of half pixels, a
// barline of whole ones.
type grid struct {
	px    float64 // a staff space
	whole bool
	top   float64 // the top line's middle, staff spaces
	thick float64 // of a staff line, staff spaces
	shift float64 // of the whole system
}

func gridOf(px, staffTop float64) grid {
	g := grid{px: px, whole: px == math.Trunc(px), top: staffTop, thick: max(staffLineThickness, 1/px)}
	if g.whole {
		g.thick = max(2, math.Round(2*staffLineThickness*px)) / 2 / px
		edge := (staffTop - g.thick/2) * px
		g.shift = (math.Round(edge) - edge) / px
	}
	return g
}

// pixels is a thickness in whole pixels, at least one, in staff spaces.
func (g grid) pixels(thickness float64) float64 {
	return max(1, math.Round(thickness*g.px)) / g.px
}

func (g grid) snap(x float64) float64 { return math.Round(x*g.px) / g.px }

func (g grid) transform() string {
	if math.Abs(g.shift) < 1e-4 {
		return ""
	}
	return ` transform="translate(0 ` + fine(g.shift) + `)"`
}

// line is a staff line or a barline as a path.
func (g grid) line(r Rect) string {
	flat := r.Width > r.Height
	if flat {
		r.Y += (r.Height - g.thick) / 2
		r.Height = g.thick
	} else {
		r.Y, r.Height = g.top-g.thick/2, 4+g.thick
	}
	if g.whole {
		right := g.snap(r.X + r.Width)
		if flat {
			r.X = g.snap(r.X)
		} else {
			r.X = right - g.pixels(r.Width)
		}
		r.Width = right - r.X
	}
	return fmt.Sprintf("M%s %sh%sv%sh-%sz", fine(r.X), fine(r.Y), fine(r.Width), fine(r.Height), fine(r.Width))
}

// fine is a length to a ten-thousandth of a staff space.
func fine(x float64) string {
	return strconv.FormatFloat(math.Round(1e4*x)/1e4, 'f', -1, 64)
}
