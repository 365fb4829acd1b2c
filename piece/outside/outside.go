// Package outside makes text that came from outside fit to be shown: a title out of
// a file, a file's name, what a student is called. Whoever wrote it shall move no
// cursor, turn no writing round, forge no line and reckon in nobody's spreadsheet.
package outside

import (
	"fmt"
	"io"
	"strings"
	"unicode"
	"unicode/utf8"
)

// fit gives what stands for a character of text from outside: itself, a space for what
// parts words, -1 for what does not print and for what turns the direction of writing
// round (Unicode, UAX 9: embeddings, overrides and isolates).
func fit(r rune) rune {
	switch {
	case unicode.IsSpace(r):
		return ' '
	case unicode.IsControl(r), r == unicode.ReplacementChar, r >= 0x202A && r <= 0x202E, r >= 0x2066 && r <= 0x2069:
		return -1
	}
	return r
}

// Line is text on one line, with single spaces between its words.
func Line(s string) string { return strings.Join(strings.Fields(strings.Map(fit, s)), " ") }

// Short is Line, cut after so many characters.
func Short(s string, most int) string {
	if len(s) > 8*most { // no need to look at all of it
		s = s[:8*most]
	}
	s = Line(s)
	for i := range s {
		if most--; most < 0 {
			return s[:i] + "…"
		}
	}
	return s
}

// formula are the characters that a spreadsheet takes for the beginning of one (OWASP,
// "CSV Injection").
const formula = "=+-@＝＋－＠"

// Cell is text in a cell of CSV: what does not print is left out, and an apostrophe
// stands before what begins like a formula.
func Cell(s string) string {
	s = strings.Map(fit, s)
	if begins(s) {
		return "'" + s
	}
	return s
}

// OfCell is the text that Cell made a cell of.
func OfCell(cell string) string {
	if rest, guarded := strings.CutPrefix(cell, "'"); guarded && begins(rest) {
		return rest
	}
	return cell
}

// begins reports whether text begins like a formula, behind whatever apostrophes and
// spaces stand before.
func begins(s string) bool {
	r, _ := utf8.DecodeRuneInString(strings.TrimLeft(s, "' "))
	return strings.ContainsRune(formula, r)
}

// Terminal leaves out what would do more in a terminal than stand there. Lines and tabs
// stay as they are: what is one line is Line's to see to.
func Terminal(w io.Writer) io.Writer { return &terminal{w: w} }

// JSON writes as JSON's own escapes what Terminal would leave out of it.
func JSON(text []byte) []byte {
	out := make([]byte, 0, len(text))
	for len(text) > 0 {
		r, n := utf8.DecodeRune(text)
		if r > unicode.MaxASCII && fit(r) != r && !unicode.Is(unicode.Zs, r) {
			out = fmt.Appendf(out, `\u%04x`, r) // all of them lie in the first plane
		} else {
			out = append(out, text[:n]...)
		}
		text = text[n:]
	}
	return out
}

type terminal struct {
	w    io.Writer
	half []byte // of a character whose rest comes with the next write
}

func (t *terminal) Write(p []byte) (int, error) {
	text := append(t.half, p...)
	out := make([]byte, 0, len(text))
	for t.half = nil; len(text) > 0; {
		r, n := utf8.DecodeRune(text)
		if r == utf8.RuneError && n == 1 && !utf8.FullRune(text) {
			t.half = append(t.half, text...)
			break
		}
		switch is := fit(r); {
		case r == '\n', r == '\t', is == r, is == ' ' && unicode.Is(unicode.Zs, r):
			out = append(out, text[:n]...)
		case is == ' ':
			out = append(out, ' ') // a line's end of another kind
		}
		text = text[n:]
	}
	if _, err := t.w.Write(out); err != nil {
		return 0, err
	}
	return len(p), nil
}
