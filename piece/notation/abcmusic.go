package notation

import (
	"strconv"
	"strings"
	"unicode/utf8"

	"endpin/piece"
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
			return atLine(r.line, "%d signs %c in a row: write at most three", n, c)
		}
		v.breakRhythm(c, n)
	case c == '"':
		l.i++
		words, ok := l.until('"')
		if !ok {
			return atLine(r.line, `words are not closed: write " after them`)
		}
		v.annotation(words)
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
			r.left = append(r.left, "Line "+strconv.Itoa(r.line)+": “"+l.text[l.i:l.i+size]+"” is not music and is passed over.")
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
		return atLine(r.line, "the field [%c: is not closed: write ] after it", name)
	}
	return r.field(name, strings.TrimSpace(value))
}

func isLetter(c byte) bool { return c >= 'A' && c <= 'Z' || c >= 'a' && c <= 'z' }
func isNote(c byte) bool   { return c >= 'A' && c <= 'G' || c >= 'a' && c <= 'g' }

// length reads what follows a note: 2, 3/2, /, //, /4; it gives how many unit
// lengths.
func (r *abcReader) length(l *abcLine) (float64, error) {
	top, bottom := 1, 1
	var err error
	if d := l.while(digits); d != "" {
		if top, err = strconv.Atoi(d); err != nil || top < 1 || top > 1024 {
			return 0, atLine(r.line, "%q is not a note length", short(d))
		}
	}
	for l.at(0) == '/' {
		l.i++
		half := 2
		if d := l.while(digits); d != "" {
			if half, err = strconv.Atoi(d); err != nil || half < 1 || half > 1024 {
				return 0, atLine(r.line, "%q is not a note length", short("/"+d))
			}
		}
		if bottom *= half; bottom > 1024 {
			return 0, atLine(r.line, "a note shorter than any note value")
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
		return n, atLine(r.line, "%q is not an accidental: write ^, _ or =", short(sign))
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
		return n, atLine(r.line, "an accidental without a note after it")
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
		return n, atLine(r.line, "a note %d octaves from the middle: look at its commas", oct-4)
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
	n.pitch = midiC4 + (oct-4)*octave + steps[step] + alter
	return n, nil
}

// maxABCNotes bounds the notes of a file, over all its voices.
const maxABCNotes = piece.MaxNotes

// put places a note or a chord with what waits for it.
func (r *abcReader) put(notes []draftNote, units float64) error {
	v := r.current()
	if r.notes += len(notes); r.notes > maxABCNotes {
		return atLine(r.line, "more than %d notes: save a shorter piece", maxABCNotes)
	}
	if v.pendingEnd != nil {
		endMeasureWith(v.m, *v.pendingEnd)
		v.pendingEnd = nil
	}
	if !notes[0].Rest {
		v.tied = nil
		v.part.pitched = true
		v.applyWaiting(&notes[0])
		for _, id := range v.opening {
			notes[0].slurs = append(notes[0].slurs, slurEnd{id, true})
		}
		v.opening = nil
	}
	notes[0].apart, v.gap = v.gap, false
	v.place(notes, units*v.unitTicks())
	if v.pos > maxTicks {
		return atLine(r.line, "a measure longer than any: write bar lines")
	}
	return nil
}

// chord reads [CEG]2.
func (r *abcReader) chord(l *abcLine) error {
	v := r.current()
	l.i++
	var notes []draftNote
	tied := map[int]bool{}
	units := 0.0
	for l.at(0) != ']' {
		switch c := l.at(0); {
		case c == 0:
			return atLine(r.line, "a chord is not closed: write ] after its notes")
		case c == '^' || c == '_' || c == '=' || isNote(c):
			n, err := r.pitch(l)
			if err != nil {
				return err
			}
			length, err := r.length(l)
			if err != nil {
				return err
			}
			if len(notes) == 0 {
				units = length
			}
			notes = append(notes, n)
			if len(notes) > 16 {
				return atLine(r.line, "a chord of more than 16 notes: write ] after its notes")
			}
		case c == '-':
			l.i++
			if len(notes) > 0 {
				tied[len(notes)-1] = true
			}
		case c == '!':
			l.i++
			if name, ok := l.until('!'); ok {
				v.decorate(name)
			}
		case c == '"':
			l.i++
			if words, ok := l.until('"'); ok {
				v.annotation(words)
			}
		default:
			l.i++
		}
	}
	l.i++
	outer, err := r.length(l)
	if err != nil {
		return err
	}
	if len(notes) == 0 {
		return nil
	}
	if err := r.put(notes, units*outer); err != nil {
		return err
	}
	for i := range tied {
		v.tieNote(v.lastFrom + i)
	}
	return nil
}

// graces reads {abc}: notes that lead into the next.
func (r *abcReader) graces(l *abcLine) error {
	v := r.current()
	l.i++
	for l.at(0) != '}' {
		switch c := l.at(0); {
		case c == 0:
			return atLine(r.line, "grace notes are not closed: write } after them")
		case c == '^' || c == '_' || c == '=' || isNote(c):
			n, err := r.pitch(l)
			if err != nil {
				return err
			}
			if _, err := r.length(l); err != nil {
				return err
			}
			if r.notes++; r.notes > maxABCNotes {
				return atLine(r.line, "more than %d notes: save a shorter piece", maxABCNotes)
			}
			n.Grace, n.Start = true, ticks(v.pos)
			if v.overlay > 0 {
				n.voice = strconv.Itoa(v.overlay + 1)
			}
			v.m.notes = append(v.m.notes, n)
		default:
			l.i++
		}
	}
	l.i++
	return nil
}

func (r *abcReader) rest(l *abcLine) error {
	units, err := r.length(l)
	if err != nil {
		return err
	}
	n := draftNote{voice: "1", staff: 1}
	n.Rest = true
	return r.put([]draftNote{n}, units)
}

// measureRests reads Z4: four measures of rest.
func (r *abcReader) measureRests(l *abcLine) error {
	v := r.current()
	count := 1
	if d := l.while(digits); d != "" {
		n, err := strconv.Atoi(d)
		if err != nil || n < 1 || n > maxPrinted {
			return atLine(r.line, "%q measures of rest", short(d))
		}
		count = n
	}
	whole := float64(v.time.Beat()) * float64(v.time.Beats)
	if whole == 0 {
		whole = 4 * float64(piece.Quarter)
	}
	for i := range count {
		if i > 0 || v.holds() {
			if err := r.endMeasure(); err != nil {
				return err
			}
		}
		n := draftNote{voice: "1", staff: 1}
		n.Rest = true
		if err := r.put([]draftNote{n}, whole/v.unitTicks()); err != nil {
			return err
		}
	}
	return nil
}

// endMeasure closes the measure being written, within bounds.
func (r *abcReader) endMeasure() error {
	if r.measures++; r.measures > maxPrinted {
		return atLine(r.line, "more than %d measures: save a shorter piece", maxPrinted)
	}
	return r.voice.closeMeasure()
}

// beginTuplet reads (p:q:r: p notes in the time of q, for the next r notes
// (ABC 2.1, 4.13).
func (r *abcReader) beginTuplet(l *abcLine) error {
	v := r.current()
	l.i++
	number := func() int {
		n, err := strconv.Atoi(l.while(digits))
		if err != nil || n > 64 {
			return 0
		}
		return n
	}
	p := number()
	q, run := 0, 0
	if l.at(0) == ':' {
		l.i++
		q = number()
		if l.at(0) == ':' {
			l.i++
			run = number()
		}
	}
	if p < 2 {
		return atLine(r.line, "a tuplet of %d notes: write (3 before a triplet", p)
	}
	if q == 0 {
		q = v.tupletTime(p)
	}
	if run == 0 {
		run = p
	}
	v.tuplet, v.tupletLeft = piece.Tuplet{Actual: p, Normal: q}, run
	return nil
}

func (v *abcVoice) tupletTime(p int) int {
	switch p {
	case 2, 4, 8:
		return 3
	case 3, 6:
		return 2
	}
	if t := v.time; t.Unit == 8 && t.Beats%3 == 0 && t.Beats > 3 {
		return 3
	}
	return 2
}

func (v *abcVoice) openSlur() {
	const most = 16 // one inside another
	if len(v.open) == most || len(v.opening) == most {
		return
	}
	v.slurs++
	id := strconv.Itoa(v.slurs)
	v.opening = append(v.opening, id)
	v.open = append(v.open, id)
}

func (v *abcVoice) closeSlur() {
	if len(v.open) == 0 {
		return
	}
	id := v.open[len(v.open)-1]
	v.open = v.open[:len(v.open)-1]
	if n := v.lastNote(); n != nil {
		n.slurs = append(n.slurs, slurEnd{id, false})
	}
}

// lastNote is the last note written that is no grace note.
func (v *abcVoice) lastNote() *draftNote {
	if v.noteIn == nil {
		return nil
	}
	return &v.noteIn.notes[v.noteAt]
}

// tie ties the last note, or every note of the last chord, to the next.
func (v *abcVoice) tie() {
	if v.lastFrom == noLast {
		return
	}
	for i := v.lastFrom; i < len(v.m.notes); i++ {
		v.tieNote(i)
	}
}

func (v *abcVoice) tieNote(i int) {
	n := &v.m.notes[i]
	if n.Rest || n.Grace {
		return
	}
	n.TieToNext = true
	if v.tied == nil {
		v.tied = map[string]int{}
	}
	v.tied[n.Step+strconv.Itoa(n.Octave)] = n.Alter
}

// barLine reads a bar line with its repeat signs, and a bracket right after it.
func (r *abcReader) barLine(l *abcLine) error {
	v := r.current()
	from := l.i
	for {
		switch c := l.at(0); {
		case c == '|' || c == ':':
			l.i++
			continue
		case c == '.' && l.at(1) == '|', c == '[' && l.at(1) == '|':
			l.i++
			continue
		case c == ']' && l.i > from && l.text[l.i-1] == '|':
			l.i++
			continue
		}
		break
	}
	sign := l.text[from:l.i]
	first, last := strings.IndexByte(sign, '|'), strings.LastIndexByte(sign, '|')
	back, forward := 0, 0
	if first < 0 {
		if len(sign) < 2 {
			return nil // a colon by itself
		}
		back, forward = len(sign)/2, len(sign)/2
	} else {
		back = strings.Count(sign[:first], ":")
		forward = strings.Count(sign[last:], ":")
		if first != last && back == 0 && forward == 0 && strings.Contains(sign[first:last], ":") {
			back, forward = 1, 1 // |::| and its like
		}
	}
	v.atBarLine()
	double := strings.Contains(sign, "||") || strings.Contains(sign, "|]") || strings.Contains(sign, "[|")
	if back > 16 {
		return atLine(r.line, "a repeat sign of %d colons", back)
	}
	if v.holds() {
		v.m.DoubleBar = double || back > 0
		if back > 0 {
			v.m.RepeatTimes = back + 1
		}
		if err := r.endMeasure(); err != nil {
			return err
		}
	} else if n := len(v.measures); n > 0 {
		m := v.measures[n-1]
		m.DoubleBar = m.DoubleBar || double || back > 0
		if back > 0 {
			m.RepeatTimes = back + 1
		}
	}
	if back > 0 || forward > 0 || double {
		v.endings = nil
	}
	if forward > 0 {
		v.m.RepeatStart = true
	}
	if c := l.at(0); c >= '1' && c <= '9' {
		return r.bracket(l)
	}
	return nil
}

// bracket reads the numbers of an ending: 1, 1,3 or 1-3.
func (r *abcReader) bracket(l *abcLine) error {
	v := r.current()
	numbers, err := endingNumbers(strings.Trim(l.while(digits+",-."), ",-."))
	if err != nil {
		return atLine(r.line, "%w: write [1 or [1,3", err)
	}
	if v.holds() { // the bracket begins inside a measure
		if err := r.endMeasure(); err != nil {
			return err
		}
		v.m.extra = true
	}
	v.endings = numbers
	v.m.Endings = numbers
	return nil
}
