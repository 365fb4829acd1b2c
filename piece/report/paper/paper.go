// Package paper is what every page to print or to send is made of: its style, its shapes,
// what it may do, and the functions that its template calls.
//
//	page.css, shapes.svg ─┬─ Funcs ─> a page's own template ─> a page that needs nothing else
//	piece/words ──────────┘
//
// Read Funcs first.
package paper

import (
	"embed"
	"fmt"
	"html/template"
	"strconv"
	"strings"

	"github.com/rivo/uniseg"

	"endpin/piece/words"
)

//go:embed page.css shapes.svg
var files embed.FS

// Funcs are what a page's template calls; css is the page's own style, after that of all.
func Funcs(css string) template.FuncMap {
	return template.FuncMap{
		"style":   func() template.CSS { return template.CSS(embedded("page.css") + css) },
		"shapes":  func() template.HTML { return template.HTML(embedded("shapes.svg")) },
		"policy":  Policy,
		"say":     words.Say,
		"lang":    func() string { return words.Here().Tag() },
		"squeeze": squeeze,
	}
}

// embedded gives one of the files of all pages.
func embedded(name string) string {
	b, err := files.ReadFile(name)
	if err != nil { // it is compiled in
		panic(err)
	}
	return string(b)
}

// BassStrings are the strings of a double bass from the highest (common practice, no
// source).
var BassStrings = []string{"G", "D", "A", "E", "B"}

// StringName is the name of a string, 1 for the highest; "" for one that is not among them.
func StringName(names []string, number int) string {
	if number < 1 || number > len(names) {
		return ""
	}
	return names[number-1]
}

// Wide counts the columns that a text takes on a terminal.
func Wide(s string) int { return uniseg.StringWidth(s) }

// TextWidth estimates how wide a text is at a size; wider than most fonts make it.
func TextWidth(s string, size float64) float64 { return 0.61 * size * float64(Wide(s)) }

// squeeze makes a text of a size in a drawing as narrow as the room for it, where it is
// wider.
func squeeze(text string, size, room float64) template.HTMLAttr {
	if TextWidth(text, size) <= room {
		return ""
	}
	return template.HTMLAttr(fmt.Sprintf(` textLength="%.1f" lengthAdjust="spacingAndGlyphs"`, room))
}

// Px is a length in a drawing, written with one decimal: no eye sees more.
type Px float64

// String writes it.
func (p Px) String() string {
	s := strconv.FormatFloat(float64(p), 'f', 1, 64)
	if s == "-0.0" {
		return "0"
	}
	return strings.TrimSuffix(s, ".0")
}
