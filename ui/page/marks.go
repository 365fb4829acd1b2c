package page

import (
	"image/color"
	"slices"
	"strings"

	"endpin/piece/engraving"
	"endpin/piece/words"
	"endpin/ui/ink"
	"endpin/ui/letters"
	"endpin/ui/mark"
	"endpin/ui/pen"
)

// Sizes of a mark, staff spaces.
const (
	markSize  = 1.75 // the em of its words
	markLine  = 2.15
	markLines = 3
	markRoom  = markLine*markLines + 0.6
	shapeSize = 1.15
)

// told is a mark as it is written: in as many lines as it takes.
type told struct {
	mark.Mark
	lines []string
}

// set writes the marks of one measure in a width. Where there is no room for all of
// them each gives its value alone, and what is left over is counted.
func set(all []mark.Mark, w float64) (out []told, more int) {
	w -= shapeSize + 1.4
	room := markLines
	write := func(text func(mark.Mark) string) (out []told, n int) {
		for _, m := range all {
			s := text(m)
			if m.GoesOn {
				s = "… " + m.Brief
			}
			if m.Aside {
				s = "(" + s + ")"
			}
			t := told{m, wrap(s, w)}
			n += len(t.lines)
			out = append(out, t)
		}
		return out, n
	}
	out, n := write(func(m mark.Mark) string { return m.Text })
	if n <= room {
		return out, 0
	}
	out, n = write(func(m mark.Mark) string { return m.Brief })
	if n <= room {
		return out, 0
	}
	room-- // for the count
	n = 0
	for i, t := range out {
		if n += len(t.lines); n > room {
			return out[:i], len(out) - i
		}
	}
	return out, 0
}

// marksOn draws the marks of one measure from x on, in a width.
func marksOn(p *pen.Pen, all []mark.Mark, x, y, w float64, ink, soft color.Color) {
	out, more := set(all, w)
	line := 0
	for _, m := range out {
		c := ink
		if m.Aside {
			c, m.Fair = soft, true
		}
		shapeOn(p, m.Mark, x+0.3+shapeSize/2, y+float64(line)*markLine+markLine/2+0.05, c)
		for _, t := range m.lines {
			p.Text(t, x+shapeSize+0.75, y+float64(line+1)*markLine-0.5, markSize, engraving.Bold, c)
			line++
		}
	}
	if more > 0 {
		p.Text(words.Say("window.page.more", "n", more), x+0.3, y+float64(line+1)*markLine-0.5, markSize*0.85, engraving.Italic, ink)
	}
}

// lines is how many lines the marks of one measure take.
func lines(all []mark.Mark, w float64) (n int) {
	out, more := set(all, w)
	for _, t := range out {
		n += len(t.lines)
	}
	return n + min(more, 1)
}

// wrap breaks a text into lines of a width, at its spaces; a unit stays with its number.
func wrap(s string, w float64) []string {
	var lines []string
	units := strings.Fields(words.Say("window.page.units"))
	for _, word := range strings.Fields(s) {
		if n := len(lines); n > 0 && (slices.Contains(units, word) || letters.Width(lines[n-1]+" "+word, markSize, engraving.Bold) <= w) {
			lines[n-1] += " " + word
			continue
		}
		lines = append(lines, word)
	}
	return lines
}

// shapeOn tells the kind by its form alone; hollow where it is not sure.
func shapeOn(p *pen.Pen, m mark.Mark, x, y float64, c color.Color) {
	r := shapeSize / 2
	form := ink.Of(m.Kind)
	for _, outline := range slices.Concat(form.Filled(), form.Cut(m.Fair)) {
		for i, q := range outline {
			a := p.At(x+float64(q.X)*r, y+float64(q.Y)*r)
			if i == 0 {
				p.MoveTo(a)
			} else {
				p.LineTo(a)
			}
		}
	}
	p.Fill(c)
}
