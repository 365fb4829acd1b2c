package engraving

import (
	"slices"
	"strings"
)

const (
	signRoom   = 1.7  // a remark's shape and the gap after it
	remarkLine = 2.0  // from line to line
	remarkRoom = 11.0 // a measure grows to this for a remark, and then the words are broken
)

// needOf is the least width of a measure for its remarks: a line of them, or
// their longest word.
func needOf(remarks []Remark) float64 {
	need := 0.0
	for _, r := range remarks {
		need = max(need, min(textWidth(r.Text, underSize, Roman), remarkRoom))
		for _, word := range strings.Fields(r.Text) {
			need = max(need, textWidth(word, underSize, Roman))
		}
	}
	if need > 0 {
		need += signRoom + 1.2
	}
	return need
}

// broken divides words into lines no wider than width, where a word allows.
func broken(s string, width float64) []string {
	var lines []string
	for _, word := range strings.Fields(s) {
		if k := len(lines) - 1; k >= 0 && textWidth(lines[k]+" "+word, underSize, Roman) <= width {
			lines[k] += " " + word
		} else {
			lines = append(lines, word)
		}
	}
	return lines
}

// remarks sets the lines under the measures, all from one height.
func (e *engraver) remarks(bars []*bar) {
	y := 4 + max(0, slices.Max(e.down.y)-4)
	for i, b := range bars {
		e.now = b.index
		box := e.sys.Measures[i]
		base := y + 2.2
		for _, r := range e.o.Under[b.index] {
			x, indent := box.X+0.4, 0.0
			if s := sign(r.Shape); s != nil {
				e.put(Under, s.move(x+0.7, base-0.55))
				indent = signRoom
			}
			for _, line := range broken(r.Text, box.Width-indent-0.8) {
				e.put(Under, Text{line, x + indent, base, underSize, Start, Roman})
				base += remarkLine
			}
			base += 0.3
		}
	}
}

// sign draws a remark's shape about its middle, 1.4 staff spaces large.
func sign(name string) Shape {
	turn := func(p Polygon, f func(Point) Point) Polygon {
		q := make(Polygon, len(p))
		for i := range p {
			q[i] = f(p[i])
		}
		return q
	}
	arrow := Polygon{{0, -0.75}, {0.6, 0}, {0.18, 0}, {0.18, 0.75}, {-0.18, 0.75}, {-0.18, 0}, {-0.6, 0}}
	switch name {
	case "up":
		return arrow
	case "down":
		return turn(arrow, func(p Point) Point { return Point{p.X, -p.Y} })
	case "right":
		return turn(arrow, func(p Point) Point { return Point{-p.Y, p.X} })
	case "left":
		return turn(arrow, func(p Point) Point { return Point{p.Y, p.X} })
	case "":
		return nil
	}
	if name == "plus" {
		return Polygon{{-0.15, -0.65}, {0.15, -0.65}, {0.15, -0.15}, {0.65, -0.15}, {0.65, 0.15}, {0.15, 0.15}, {0.15, 0.65}, {-0.15, 0.65}, {-0.15, 0.15}, {-0.65, 0.15}, {-0.65, -0.15}, {-0.15, -0.15}}
	}
	return Polygon{{0, -0.7}, {0.55, 0}, {0, 0.7}, {-0.55, 0}}
}
