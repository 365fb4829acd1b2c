package notation

import (
	"slices"
	"strings"
	"unicode/utf8"

	"endpin/piece/words"
)

// music reads one line of music code.
func (r *abcReader) music(text string) error {
	l := &abcLine{text: text}
	if v := r.voice; v != nil && len(v.measures) > 0 && !v.holds() {
		v.m.SystemBreak = true
	}
	for l.more() {
		if err := r.symbol(l); err != nil {
			return err
		}
	}
	r.current().gap = true
	return nil
}

// symbol reads one symbol of music.
func (r *abcReader) symbol(l *abcLine) error {
	if l.at(0) == '[' && isLetter(l.at(1)) && l.at(2) == ':' { // it may be what names the voice
		return r.inlineField(l)
	}
	v := r.current()
	switch c := l.at(0); {
	case c == ' ' || c == '\t':
		v.gap = true
		l.i++
	case c == '|' || c == ':' || c == '[' && l.at(1) == '|' || c == '.' && l.at(1) == '|':
		return r.barLine(l)
	case c == '[' && l.at(1) >= '0' && l.at(1) <= '9':
		l.i++
		return r.bracket(l)
	case c == '[':
		return r.chord(l)
	case c == '{':
		return r.graces(l)
	case c == '(' && l.at(1) >= '2' && l.at(1) <= '9':
		return r.beginTuplet(l)
	case c == '(':
		l.i++
		v.openSlur()
	case c == ')':
		l.i++
		v.closeSlur()
	case c == '-':
		l.i++
		v.tie()
	case c == '>' || c == '<':
		n := len(l.while(string(c)))
		if n > 4 {
			return atLine(r.line, words.Fault("notation.abc.signs", "n", n, "sign", string(c)))
		}
		v.breakRhythm(c, n)
	case c == '"':
		l.i++
		said, ok := l.until('"')
		if !ok {
			return atLine(r.line, words.Fault("notation.abc.words"))
		}
		v.annotation(said)
	case c == '!':
		l.i++
		rest := *l
		if name, ok := rest.until('!'); ok && !strings.ContainsAny(name, "| ") {
			*l = rest
			v.decorate(name)
		}
	case c == 'y':
		l.i++
		l.while(digits)
	case c == 'z' || c == 'x':
		l.i++
		return r.rest(l)
	case c == 'Z' || c == 'X':
		l.i++
		return r.measureRests(l)
	case c == '^' || c == '_' || c == '=' || isNote(c):
		n, err := r.pitch(l)
		if err != nil {
			return err
		}
		length, err := r.length(l)
		if err != nil {
			return err
		}
		return r.put([]draftNote{n}, length)
	case c == '&':
		l.i++
		v.overlay++
		v.pos, v.lastFrom, v.broken, v.tupletLeft = 0, noLast, 1, 0
	case c == '.' || c == '~' || c >= 'H' && c <= 'W' || c >= 'h' && c <= 'w':
		l.i++
		if !v.shorthand(c, r.user) {
			r.passOver(string(rune(c)))
		}
	case strings.IndexByte("`$\\*;", c) >= 0:
		l.i++
	default:
		size := 1
		if c >= utf8.RuneSelf {
			_, size = utf8.DecodeRuneInString(l.text[l.i:])
		}
		r.passOver(l.text[l.i : l.i+size])
		l.i += size
	}
	return nil
}

// passed is what a line holds that is no music.
type passed struct {
	line int
	text []string
}

// Most lines of which that is said, and most of what one holds.
const (
	mostPassedLines = 4
	mostPassedTexts = 4
)

func (r *abcReader) passOver(text string) {
	if n := len(r.passed); n == 0 || r.passed[n-1].line != r.line {
		r.passed = append(r.passed, passed{line: r.line})
	}
	at := &r.passed[len(r.passed)-1]
	if !slices.Contains(at.text, text) {
		at.text = append(at.text, text)
	}
}

// passedOver says what of each line is not read, and how many more lines there are.
func (r *abcReader) passedOver() (said []string) {
	for i, p := range r.passed {
		if i == mostPassedLines {
			return append(said, words.Many("notation.abc.passed-over.more", len(r.passed)-i).String())
		}
		var typed words.List
		for _, text := range p.text[:min(len(p.text), mostPassedTexts)] {
			typed = append(typed, words.Say("notation.abc.token", "text", text))
		}
		said = append(said, words.Many("notation.abc.passed-over", len(typed), "line", p.line, "text", typed).String())
	}
	return said
}

// inlineField reads a field inside music, such as [K:G].
func (r *abcReader) inlineField(l *abcLine) error {
	name := l.at(1)
	l.i += 3
	value, ok := l.until(']')
	if !ok {
		return atLine(r.line, words.Fault("notation.abc.field", "name", string(rune(name))))
	}
	return r.field(name, strings.TrimSpace(value))
}
