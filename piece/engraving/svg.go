package engraving

import (
	"bufio"
	"fmt"
	"html"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"
)

// SVGOptions is how a page is written as SVG. The zero value will do for one
// picture in a page.
type SVGOptions struct {
	ScalePx float64 // pixels a staff space; 0 for 8
	Prefix  string  // before every id, so that several pictures can stand in one page; "" for "e"
	Title   string  // for who cannot see it; "" for the piece's title
	Font    string  // of words; "" for a serif
}

// SVG writes the page as one self-contained picture. All is drawn in the
// colour of the text around it; each class of items is a class of the picture.
// The items of a measure stand in a <g> with its index as data-measure, its
// printed number as data-number and the measure in words as its title. At a
// whole number of pixels a space, staff lines and barlines lie on whole pixels.
func (p *Page) SVG(w io.Writer, o SVGOptions) error {
	if o.ScalePx <= 0 {
		o.ScalePx = 8
	}
	if o.Prefix == "" {
		o.Prefix = "e"
	}
	if o.Title == "" {
		o.Title = p.Title
	}
	if o.Title == "" {
		o.Title = "Notation"
	}
	if o.Font == "" {
		o.Font = "Georgia,'Times New Roman',serif"
	}
	out := bufio.NewWriter(w)
	id := html.EscapeString(o.Prefix)
	fmt.Fprintf(out, `<svg xmlns="http://www.w3.org/2000/svg" width="%s" height="%s" viewBox="0 0 %s %s" role="group" aria-labelledby="%st" fill="currentColor" font-family="%s">`,
		num(p.Width*o.ScalePx), num(p.Height*o.ScalePx), num(p.Width), num(p.Height), id, html.EscapeString(o.Font))
	fmt.Fprintf(out, `<title id="%st">%s</title><defs>`, id, html.EscapeString(o.Title))
	seen := map[rune]bool{}
	for _, it := range p.Items {
		if g, ok := it.Shape.(Glyph); ok && !seen[g.Rune] {
			seen[g.Rune] = true
			d, err := pathOf(g.Rune)
			if err != nil {
				return err
			}
			fmt.Fprintf(out, `<path id="%s%x" transform="scale(.001)" d="%s"/>`, id, g.Rune, d)
		}
	}
	out.WriteString("</defs>")
	for _, s := range p.Systems {
		g := gridOf(o.ScalePx, s.StaffTop)
		out.WriteString("\n<g class=\"system\"" + g.transform() + ">")
		boxes := map[int]Box{}
		for _, b := range s.Measures {
			boxes[b.Measure] = b
		}
		measure := -1
		items := p.Items[s.First:s.Last]
		for i := 0; i < len(items); {
			if m := items[i].Measure; m != measure {
				if measure >= 0 {
					out.WriteString("</g>")
				}
				fmt.Fprintf(out, "\n<g data-measure=\"%d\" data-number=\"%s\" role=\"img\"><title>%s</title>",
					m, html.EscapeString(boxes[m].Number), html.EscapeString(boxes[m].Title))
				measure = m
			}
			j := i
			for j < len(items) && items[j].Measure == items[i].Measure && items[j].Class == items[i].Class {
				j++
			}
			writeRun(out, id, items[i:j], g)
			i = j
		}
		if measure >= 0 {
			out.WriteString("</g>")
		}
		out.WriteString("</g>")
	}
	out.WriteString("</svg>\n")
	return out.Flush()
}

// writeRun writes items of one class: what is filled as one path, glyphs and words each.
func writeRun(out *bufio.Writer, id string, items []Item, g grid) {
	fmt.Fprintf(out, `<g class="%s"`, items[0].Class)
	if items[0].Class == Frames {
		out.WriteString(` opacity=".62"`)
	}
	out.WriteByte('>')
	var d strings.Builder
	for _, it := range items {
		switch s := it.Shape.(type) {
		case Rect:
			if it.Class == Staff {
				d.WriteString(g.line(s))
				continue
			}
			fmt.Fprintf(&d, "M%s %sh%sv%sh-%sz", num(s.X), num(s.Y), num(s.Width), num(s.Height), num(s.Width))
		case Polygon:
			for i := range s {
				p := s[i]
				if leftward(s) { // turned as the rectangles are: else where they overlap is a hole
					p = s[len(s)-1-i]
				}
				if i == 0 {
					d.WriteByte('M')
				} else {
					d.WriteByte('L')
				}
				d.WriteString(num(p.X) + " " + num(p.Y))
			}
			d.WriteByte('z')
		}
	}
	if d.Len() > 0 {
		fmt.Fprintf(out, `<path d="%s"/>`, d.String())
	}
	for _, it := range items {
		switch s := it.Shape.(type) {
		case Glyph:
			if s.Scale == 1 {
				fmt.Fprintf(out, `<use href="#%s%x" x="%s" y="%s"/>`, id, s.Rune, num(s.X), num(s.Y))
			} else {
				fmt.Fprintf(out, `<use href="#%s%x" transform="translate(%s %s)scale(%s)"/>`, id, s.Rune, num(s.X), num(s.Y), num(s.Scale))
			}
		case Curve:
			fmt.Fprintf(out, `<path stroke="currentColor" stroke-width="%s" stroke-linejoin="round" d="M%s %sC`, num(s.Edge), num(s.P[0].X), num(s.P[0].Y))
			for _, p := range s.P[1:] {
				out.WriteString(num(p.X) + " " + num(p.Y) + " ")
			}
			fmt.Fprintf(out, `%s %sz"/>`, num(s.P[0].X), num(s.P[0].Y))
		case Text:
			fmt.Fprintf(out, `<text x="%s" y="%s" font-size="%s"`, num(s.X), num(s.Y), num(s.Size))
			out.WriteString([]string{"", ` text-anchor="middle"`, ` text-anchor="end"`}[s.Align])
			if n := utf8.RuneCountInString(s.String); n > 2 {
				fmt.Fprintf(out, ` textLength="%s" lengthAdjust="spacingAndGlyphs"`, num(textWidth(s.String, s.Size, s.Style)))
			}
			out.WriteString([]string{"", ` font-style="italic"`, ` font-weight="bold"`}[s.Style])
			fmt.Fprintf(out, `>%s</text>`, html.EscapeString(s.String))
		}
	}
	out.WriteString("</g>")
}

// leftward reports whether a polygon turns against the clock, y down.
func leftward(p Polygon) bool {
	area := 0.0
	for i := range p {
		q := p[(i+1)%len(p)]
		area += p[i].X*q.Y - q.X*p[i].Y
	}
	return area < 0
}

// num is a length to a hundredth of a staff space.
func num(x float64) string {
	s := strconv.FormatFloat(round2(x), 'f', -1, 64)
	if s == "-0" {
		return "0"
	}
	return s
}
