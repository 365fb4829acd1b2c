package notation

import (
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
		v.shorthand(c, r.user)
	case strings.IndexByte("`$\\*;?@#", c) >= 0:
		l.i++
	default:
		size := 1
		if c >= utf8.RuneSelf {
			_, size = utf8.DecodeRuneInString(l.text[l.i:])
		}
		if !r.passedOver {
			r.passedOver = true
			r.left = append(r.left, words.Say("notation.abc.passed-over", "line", r.line, "text", l.text[l.i:l.i+size]))
		}
		l.i += size
	}
	return nil
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
