package notation

import (
	"strconv"
	"strings"

	"endpin/piece"
	"endpin/piece/words"
)

// abcLine is a line of music and the place of reading in it.
type abcLine struct {
	text string
	i    int
}

func (l *abcLine) more() bool { return l.i < len(l.text) }

// at is the byte some way on, or 0 beyond the end.
func (l *abcLine) at(off int) byte {
	if l.i+off < len(l.text) {
		return l.text[l.i+off]
	}
	return 0
}

// until takes what stands before a closing sign and steps over that.
func (l *abcLine) until(closing byte) (string, bool) {
	k := strings.IndexByte(l.text[l.i:], closing)
	if k < 0 {
		return "", false
	}
	s := l.text[l.i : l.i+k]
	l.i += k + 1
	return s, true
}

func (l *abcLine) while(in string) string {
	from := l.i
	for l.more() && strings.IndexByte(in, l.text[l.i]) >= 0 {
		l.i++
	}
	return l.text[from:l.i]
}

const digits = "0123456789"

func isLetter(c byte) bool { return c >= 'A' && c <= 'Z' || c >= 'a' && c <= 'z' }

func isNote(c byte) bool { return c >= 'A' && c <= 'G' || c >= 'a' && c <= 'g' }

// length reads what follows a note: 2, 3/2, /, //, /4; it gives how many unit
// lengths.
func (r *abcReader) length(l *abcLine) (float64, error) {
	top, bottom := 1, 1
	var err error
	if d := l.while(digits); d != "" {
		if top, err = strconv.Atoi(d); err != nil || top < 1 || top > 1024 {
			return 0, atLine(r.line, words.Fault("notation.abc.length", "typed", typed(d)))
		}
	}
	for l.at(0) == '/' {
		l.i++
		half := 2
		if d := l.while(digits); d != "" {
			if half, err = strconv.Atoi(d); err != nil || half < 1 || half > 1024 {
				return 0, atLine(r.line, words.Fault("notation.abc.length", "typed", typed("/"+d)))
			}
		}
		if bottom *= half; bottom > 1024 {
			return 0, atLine(r.line, words.Fault("notation.abc.short"))
		}
	}
	return float64(top) / float64(bottom), nil
}

// pitch reads an accidental, a letter and octave marks.
func (r *abcReader) pitch(l *abcLine) (draftNote, error) {
	v := r.current()
	n := draftNote{shift: v.set.pitch.shift(), voice: "1", staff: 1}
	sign := l.while("^_=")
	alter, ok := accidentals[sign]
	if sign != "" && !ok {
		return n, atLine(r.line, words.Fault("notation.abc.accidental", "typed", typed(sign)))
	}
	if sign != "" {
		n.Accidental = map[string]string{"^": "sharp", "_": "flat", "=": "natural", "^^": "double-sharp", "__": "flat-flat"}[sign]
	}
	if sign != "" && l.at(0) == '/' { // a quarter tone
		l.i++
		alter = 0
		n.left = append(n.left, leftQuarterTone)
	}
	c := l.at(0)
	if !isNote(c) {
		return n, atLine(r.line, words.Fault("notation.abc.accidental-alone"))
	}
	l.i++
	oct := 4
	if c >= 'a' {
		oct, c = 5, c-'a'+'A'
	}
	for _, mark := range l.while("',") {
		if mark == '\'' {
			oct++
		} else {
			oct--
		}
	}
	oct += v.set.pitch.octave + v.set.pitch.middle
	if oct < 0 || oct > 9 {
		return n, atLine(r.line, words.Fault("notation.abc.octaves", "n", oct-4))
	}
	step := string(c)
	key := step
	if v.set.propagate == "octave" {
		key = step + strconv.Itoa(oct)
	}
	name := step + strconv.Itoa(oct)
	if sign == "" {
		var held bool
		if alter, held = v.tied[name]; !held {
			if alter, held = v.bar[key]; !held {
				alter = v.set.key.alter[step]
			}
		}
	} else if v.set.propagate != "not" {
		v.bar[key] = alter
	}
	n.Spelling = piece.Spelling{Step: step, Alter: alter, Octave: oct}
	n.pitch = n.Spelling.Pitch()
	return n, nil
}
