package page

import (
	"image/color"
	"strings"

	"endpin/dsp"
	"endpin/piece/engraving"
	"endpin/piece/finding"
)

// Mark is what was heard in one measure, as it stands under it.
type Mark struct {
	Measure int // index into Piece.Measures
	Kind    finding.Kind
	Text    string
	Fair    bool // drawn hollow
	Aside   bool // the player put it aside: in brackets, and soft
}

// MarkOf tells a finding as a mark.
func MarkOf(f *finding.Finding, measure int) Mark {
	return Mark{Measure: measure, Kind: f.Kind, Text: strings.Replace(f.Short, " cents", "", 1), Fair: f.Trust != dsp.Sure}
}

// Sizes of a mark, staff spaces.
const (
	markSize  = 1.75 // the em of its words
	markLine  = 2.15
	markLines = 3
	markRoom  = markLine*markLines + 0.6
	shapeSize = 1.15
)

// marks draws the marks of one measure from x on, in a width.
func (p *pen) marks(all []Mark, x, y, w float64, ink, soft color.Color) {
	line := 0
	for i, m := range all {
		c := ink
		if m.Aside {
			c, m.Fair, m.Text = soft, true, "("+m.Text+")"
		}
		text := wrap(m.Text, w-shapeSize-0.9)
		if line+len(text) > markLines || line+len(text) == markLines && i+1 < len(all) && markLines > 1 {
			if i+1 < len(all) || line+len(text) > markLines {
				p.text("+"+number(len(all)-i)+" more", x+0.3, y+float64(min(line, markLines-1)+1)*markLine-0.5, markSize*0.85, engraving.Italic, c)
				return
			}
		}
		p.shape(m, x+0.3+shapeSize/2, y+float64(line)*markLine+markLine/2+0.05, c)
		for _, t := range text {
			p.text(t, x+shapeSize+0.75, y+float64(line+1)*markLine-0.5, markSize, engraving.Bold, c)
			line++
		}
	}
}

// lines is how many lines the marks of one measure take.
func lines(all []Mark, w float64) int {
	n := 0
	for _, m := range all {
		n += len(wrap(m.Text, w-shapeSize-0.9))
	}
	return n
}

// wrap breaks a text into lines of a width, at its spaces.
func wrap(s string, w float64) []string {
	var lines []string
	for _, word := range strings.Fields(s) {
		if n := len(lines); n > 0 && width(lines[n-1]+" "+word, markSize, engraving.Bold) <= w {
			lines[n-1] += " " + word
			continue
		}
		lines = append(lines, word)
	}
	return lines
}

// shape tells the kind by its form alone: up sharp, down flat, to the right
// late, to the left early, a diamond for anything else; hollow where it is not sure.
func (p *pen) shape(m Mark, x, y float64, c color.Color) {
	r := shapeSize / 2
	var form [][2]float64
	switch m.Kind {
	case finding.Sharp, finding.SharpAfterShift, finding.WideHand:
		form = [][2]float64{{0, -1}, {0.95, 0.8}, {-0.95, 0.8}}
	case finding.Flat, finding.FlatAfterShift, finding.NarrowHand:
		form = [][2]float64{{0, 1}, {-0.95, -0.8}, {0.95, -0.8}}
	case finding.Late, finding.HeldLong:
		form = [][2]float64{{1, 0}, {-0.8, 0.95}, {-0.8, -0.95}}
	case finding.Early, finding.HeldShort:
		form = [][2]float64{{-1, 0}, {0.8, -0.95}, {0.8, 0.95}}
	default:
		form = [][2]float64{{0, -1}, {1, 0}, {0, 1}, {-1, 0}}
	}
	draw := func(scale float64, backwards bool) {
		for i := range form {
			k := i
			if backwards {
				k = len(form) - 1 - i
			}
			a := p.at(x+form[k][0]*r*scale, y+form[k][1]*r*scale)
			if i == 0 {
				p.moveTo(a)
			} else {
				p.lineTo(a)
			}
		}
	}
	draw(1, false)
	if m.Fair {
		draw(0.6, true)
	}
	p.fill(c)
}

func number(n int) string {
	if n < 10 {
		return string(rune('0' + n))
	}
	return number(n/10) + number(n%10)
}
