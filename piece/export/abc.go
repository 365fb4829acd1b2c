package export

import (
	"bytes"
	"fmt"
	"io"
	"strconv"
	"strings"

	"endpin/piece"
	"endpin/piece/words"
)

// measuresALine is how many measures of ABC stand on a line where the piece begins none.
const measuresALine = 4

// ABC writes a piece as one tune of ABC (standard 2.1) that notation.Read gives back, but for
// what ABC has no sign for: a string chosen over a note, a position above the seventh, a
// section's dashed bracket. The unit is an eighth note. The error is w's, or names a
// measure with a pitch or a length that ABC cannot write.
func ABC(w io.Writer, p *piece.Piece) error {
	x := abcWriter{p: p}
	x.head()
	for i := range p.Measures {
		if err := x.measure(i); err != nil {
			return err
		}
	}
	_, err := w.Write(x.b.Bytes())
	return err
}

// abcWriter keeps what holds from one note to the next.
type abcWriter struct {
	p       *piece.Piece
	b       bytes.Buffer
	unit    piece.Ticks
	plucked bool
	shift   int  // from the page to the sound, in force
	odd     bool // a length came that ABC has no sign for
	tuplet  int  // notes of it still to come
	said    map[string]int
	line    int // measures on this line
}

// abcText keeps a field to its line and out of a comment.
func abcText(s string) string {
	return strings.ReplaceAll(strings.Join(strings.Fields(s), " "), "%", `\%`)
}

func (x *abcWriter) head() {
	p := x.p
	x.unit = piece.Quarter / 2
	fmt.Fprintf(&x.b, "X:1\nT:%s\n", abcText(p.Title))
	if p.Composer != "" {
		fmt.Fprintf(&x.b, "C:%s\n", abcText(p.Composer))
	}
	if len(p.Measures) == 0 {
		return
	}
	m := &p.Measures[0]
	fmt.Fprintf(&x.b, "M:%s\nL:1/8\n", abcTime(m.Time))
	if len(m.Tempos) > 0 && m.Tempos[0].At == 0 {
		fmt.Fprintf(&x.b, "Q:%s\n", abcQPM(m.Tempos[0].QPM))
	}
	name := strings.ReplaceAll(abcText(p.Part), `"`, "'")
	x.shift = shiftIn(m, p.Transposed)
	fmt.Fprintf(&x.b, "V:1 name=\"%s\" %s transpose=%d\nK:%s\n", name, abcClef(m.Clef), x.shift, abcKeyName(m.Key))
}

// shiftIn is how far a measure's notes sound from where they are written.
func shiftIn(m *piece.Measure, otherwise int) int {
	for i := range m.Notes {
		if n := &m.Notes[i]; !n.Rest {
			return n.Shift()
		}
	}
	return otherwise
}

func abcTime(t piece.Time) string {
	if t.Unit == 0 {
		return "none"
	}
	return fmt.Sprintf("%d/%d", t.Beats, t.Unit)
}

func abcQPM(qpm float64) string { return "1/4=" + strconv.FormatFloat(qpm, 'f', -1, 64) }

// abcClef names a clef. Where it is an octave clef, transpose= says what that would.
func abcClef(c piece.Clef) string {
	name := map[string]string{"G": "treble", "F": "bass", "C": "alto"}[c.Sign]
	switch {
	case name == "":
		name = "bass"
	case c.Sign == "C" && c.Line == 4:
		name = "tenor"
	case c.Sign == "C" && c.Line != 3 || c.Sign == "F" && c.Line != 4 || c.Sign == "G" && c.Line != 2:
		name += strconv.Itoa(c.Line)
	}
	return "clef=" + name
}

func abcKeyName(k piece.Key) string {
	tonics := []string{"Cb", "Gb", "Db", "Ab", "Eb", "Bb", "F", "C", "G", "D", "A", "E", "B", "F#", "C#", "G#", "D#", "A#"}
	if at := k.Fifths + 7; k.Minor && at >= 0 && at+3 < len(tonics) {
		return tonics[at+3] + "m"
	}
	return tonics[min(max(k.Fifths+7, 0), 14)]
}

func (x *abcWriter) measure(i int) error {
	m := &x.p.Measures[i]
	var before piece.Measure
	if i > 0 {
		before = x.p.Measures[i-1]
	}
	x.opening(i, m, before)
	x.said = map[string]int{}
	tempos := m.Tempos
	if i == 0 && len(tempos) > 0 && tempos[0].At == 0 {
		tempos = tempos[1:] // it stands in the head
	}
	texts := m.Texts
	write := func(t piece.Text) { fmt.Fprintf(&x.b, `"^%s"`, strings.ReplaceAll(abcText(t.Says), `"`, "'")) }
	at := piece.Ticks(0)
	for j := range m.Notes {
		n := &m.Notes[j]
		if n.Start > at {
			fmt.Fprintf(&x.b, "x%s ", x.length(n.Start-at))
		}
		for ; len(tempos) > 0 && tempos[0].At <= n.Start; tempos = tempos[1:] {
			fmt.Fprintf(&x.b, "[Q:%s]", abcQPM(tempos[0].QPM))
		}
		for ; len(texts) > 0 && texts[0].At <= n.Start; texts = texts[1:] {
			write(texts[0])
		}
		if err := x.note(m, j); err != nil {
			return err
		}
		at = n.Start + n.Length
	}
	if len(m.Notes) == 0 || at < m.Length {
		fmt.Fprintf(&x.b, "x%s ", x.length(m.Length-at))
	}
	for _, t := range texts {
		write(t)
	}
	x.closing(i, m)
	if x.odd {
		return words.Fault("notation.measure", "at", m.Number, "err", words.Fault("notation.write.abc-length"))
	}
	return nil
}

// opening writes what stands before the first note of a measure.
func (x *abcWriter) opening(i int, m *piece.Measure, before piece.Measure) {
	if m.RepeatStart { // with a colon before it where the measure before is repeated too
		x.b.WriteString("|:")
	}
	if m.SystemBreak && x.line > 0 || x.line == measuresALine {
		x.b.WriteString("\n")
		x.line = 0
	}
	x.line++
	if len(m.Endings) > 0 && (i == 0 || before.RepeatTimes > 0 || endingText(before.Endings) != endingText(m.Endings)) {
		fmt.Fprintf(&x.b, "[%s ", strings.ReplaceAll(endingText(m.Endings), " ", ""))
	}
	if i > 0 && m.Time != before.Time {
		fmt.Fprintf(&x.b, "[M:%s]", abcTime(m.Time))
	}
	if shift := shiftIn(m, x.shift); i > 0 && (m.Key != before.Key || m.Clef != before.Clef || shift != x.shift) {
		x.shift = shift
		fmt.Fprintf(&x.b, "[K:%s %s transpose=%d]", abcKeyName(m.Key), abcClef(m.Clef), shift)
	}
	if m.Rehearsal != "" {
		fmt.Fprintf(&x.b, "[P:%s]", abcText(m.Rehearsal))
	}
	if m.Segno {
		x.b.WriteString("!segno!")
	}
	if m.Coda {
		x.b.WriteString("!coda!")
	}
}

// closing writes what stands at the end of a measure, and its bar line.
func (x *abcWriter) closing(i int, m *piece.Measure) {
	if m.ToCoda {
		x.b.WriteString("!dacoda!")
	}
	if m.Fine {
		x.b.WriteString("!fine!")
	}
	switch m.Jump {
	case piece.DaCapo:
		x.b.WriteString("!D.C.!")
	case piece.DalSegno:
		x.b.WriteString("!D.S.!")
	}
	last := i == len(x.p.Measures)-1
	if m.RepeatTimes > 0 {
		x.b.WriteString(strings.Repeat(":", max(1, m.RepeatTimes-1)))
	}
	switch {
	case !last && x.p.Measures[i+1].RepeatStart: // whose sign is the bar line
	case m.RepeatTimes > 0:
		x.b.WriteString("|")
	case m.DoubleBar && last:
		x.b.WriteString("|]")
	case m.DoubleBar, len(m.Endings) > 0 && !last && len(x.p.Measures[i+1].Endings) == 0: // which ends a bracket
		x.b.WriteString("||")
	default:
		x.b.WriteString("|")
	}
	if last {
		x.b.WriteString("\n")
	}
}

// abcAccidentals are ABC's signs by the semitones that they alter.
var abcAccidentals = map[int]string{2: "^^", 1: "^", 0: "=", -1: "_", -2: "__"}

// finest is how small a part of an eighth note is written: a 256th note's.
const finest = 32

// length writes a length in units: "", "2", "3/2", "/2". What no sign says is told
// when the measure is done.
func (x *abcWriter) length(t piece.Ticks) string {
	d := common(t, x.unit)
	n, of := t/d, x.unit/d
	if x.odd = x.odd || of > finest || of&(of-1) != 0; x.odd {
		return ""
	}
	switch {
	case of == 1 && n == 1:
		return ""
	case of == 1:
		return strconv.FormatInt(int64(n), 10)
	case n == 1:
		return "/" + strconv.FormatInt(int64(of), 10)
	}
	return fmt.Sprintf("%d/%d", n, of)
}

func (x *abcWriter) note(m *piece.Measure, j int) error {
	n := &m.Notes[j]
	if n.Grace || n.Length == 0 && !n.Rest {
		name, err := x.pitch(m, n)
		if err == nil {
			fmt.Fprintf(&x.b, "{%s}", name)
		}
		return err
	}
	x.tuplets(m, j)
	length := n.Length
	if n.Tuplet.Actual > 0 {
		length = length * piece.Ticks(n.Tuplet.Actual) / piece.Ticks(n.Tuplet.Normal)
	}
	if n.Rest {
		fmt.Fprintf(&x.b, "z%s ", x.length(length))
		return nil
	}
	if n.Articulated.Pizz != x.plucked {
		x.plucked = n.Articulated.Pizz
		x.b.WriteString(map[bool]string{true: `"^pizz."`, false: `"^arco"`}[x.plucked])
	}
	if text := piece.PositionText(n.Marks.Position); text != "" {
		fmt.Fprintf(&x.b, `"^%s"`, text)
	}
	x.b.WriteString(abcSigns(n))
	if n.SlurTo && !n.SlurFrom {
		x.b.WriteString("(")
	}
	name, err := x.pitch(m, n)
	if err != nil {
		return err
	}
	x.b.WriteString(name + x.length(length))
	if n.TieToNext {
		x.b.WriteString("-")
	}
	if n.SlurFrom && !n.SlurTo {
		x.b.WriteString(")")
	}
	if n.Beam != "begin" && n.Beam != "continue" {
		x.b.WriteString(" ")
	}
	return nil
}

// tuplets opens a tuplet: as many notes as fill a whole group of it.
func (x *abcWriter) tuplets(m *piece.Measure, j int) {
	if x.tuplet > 0 {
		x.tuplet--
		return
	}
	t := m.Notes[j].Tuplet
	if t.Actual == 0 {
		return
	}
	count := 0
	for _, n := range m.Notes[j:] {
		if n.Tuplet != t || n.Grace {
			break
		}
		count++
	}
	fmt.Fprintf(&x.b, "(%d:%d:%d", t.Actual, t.Normal, count)
	x.tuplet = count - 1
}

// abcSigns writes what stands over a note.
func abcSigns(n *piece.Note) string {
	s, m := "", n.Marks
	switch m.Bow {
	case piece.Down:
		s += "v"
	case piece.Up:
		s += "u"
	}
	if n.Articulated.Staccato {
		s += "."
	}
	if n.Articulated.Fermata {
		s += "H"
	}
	for _, d := range piece.DynamicsOf(n.Dynamics) {
		if piece.IsLoudness(d) {
			s += "!" + d + "!"
		} else {
			s += `"_` + d + `"`
		}
	}
	if n.Articulated.Breath {
		s += "!breath!"
	}
	if m.Open {
		s += "!open!"
	}
	if m.Harmonic {
		s += "!harmonic!"
	}
	switch {
	case m.Finger == "T":
		s += "!thumb!"
	case m.Finger != "":
		s += "!" + m.Finger + "!"
	}
	return s
}

// pitch writes a note's letter in its octave, with its accidental where the key and the
// measure do not say it.
func (x *abcWriter) pitch(m *piece.Measure, n *piece.Note) (string, error) {
	octaves := n.Octave - 4
	if n.Step == "" || octaves < -5 || octaves > 5 {
		return "", words.Fault("notation.measure", "at", m.Number, "err", words.Fault("notation.write.beyond", "note", n.Step, "octave", n.Octave))
	}
	sign := ""
	at := n.Step + strconv.Itoa(n.Octave)
	now, ok := x.said[at]
	if !ok {
		now = m.Key.Of(n.Step)
	}
	if n.Alter != now || n.Accidental != "" {
		sign = abcAccidentals[n.Alter]
		x.said[at] = n.Alter
	}
	name := n.Step
	switch {
	case octaves >= 1:
		name = strings.ToLower(name) + strings.Repeat("'", octaves-1)
	case octaves < 0:
		name += strings.Repeat(",", -octaves)
	}
	return sign + name, nil
}
