package export

import (
	"bytes"
	"cmp"
	"fmt"
	"io"
	"slices"
	"strconv"

	"endpin/piece"
	"endpin/piece/notation"
	"endpin/piece/words"
)

// Options are what a written piece may show beyond its own notes.
type Options struct {
	Brackets  []Bracket  // hand frames: a dashed bracket over the notes of each
	Sections  []Section  // rehearsal marks where the piece has none, else words
	Questions []piece.At // notes that a question mark stands over
}

// Bracket spans printed notes, both ends included. Brackets must not overlap.
type Bracket struct{ From, To piece.At }

// Section begins at a measure, an index into Piece.Measures.
type Section struct {
	Measure int
	Name    string
}

// MusicXML writes a piece as one part of MusicXML 4.0, partwise, valid against the
// W3C's schema. notation.Read gives the same piece back, but for what the file cannot
// tell again or the piece cannot hold:
//
//   - TransposedBy names the written transposition, and NotPlayed is empty but
//     for cue notes (a rest that has a spelling is one);
//   - a value or an accidental that MusicXML does not know is left out;
//   - a note that lasts no time is written as a grace note;
//   - a position above the seventh is written but not read.
//
// The error is w's, or names a measure with a pitch that MusicXML cannot write.
func MusicXML(w io.Writer, p *piece.Piece, o Options) error {
	x := newScoreWriter(p, o)
	x.head()
	for i := range p.Measures {
		if err := x.measure(i); err != nil {
			return err
		}
	}
	x.line(`  </part>`)
	x.line(`</score-partwise>`)
	_, err := w.Write(x.b.Bytes())
	return err
}

// scoreWriter keeps what holds from one measure to the next.
type scoreWriter struct {
	p        *piece.Piece
	o        Options
	b        bytes.Buffer
	unit     piece.Ticks // one division
	byClef   bool        // the octave clef tells where the part sounds
	shift    int         // the <transpose> in force
	pos      piece.Ticks // in the measure
	plucked  bool
	tied     *piece.Note // the note before, where it is tied on
	rehearse bool        // the piece has rehearsal marks of its own
	begins   map[piece.At]bool
	ends     map[piece.At]bool
}

func newScoreWriter(p *piece.Piece, o Options) *scoreWriter {
	x := &scoreWriter{p: p, o: o, unit: piece.Quarter, byClef: soundsByClef(p), begins: map[piece.At]bool{}, ends: map[piece.At]bool{}}
	for i := range p.Measures {
		m := &p.Measures[i]
		x.rehearse = x.rehearse || m.Rehearsal != ""
		x.unit = common(x.unit, m.Length)
		for _, t := range m.Tempos {
			x.unit = common(x.unit, t.At)
		}
		for _, t := range m.Texts {
			x.unit = common(x.unit, t.At)
		}
		for j := range m.Notes {
			x.unit = common(common(x.unit, m.Notes[j].Start), m.Notes[j].Length)
		}
	}
	for _, b := range o.Brackets {
		x.begins[b.From], x.ends[b.To] = true, true
	}
	return x
}

// common is the greatest common divisor.
func common(a, b piece.Ticks) piece.Ticks {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// soundsByClef reports whether an octave clef alone tells where every note
// sounds. In such a part MusicXML writes the pitch with the clef's octave
// counted in and states no transposition.
func soundsByClef(p *piece.Piece) bool {
	if len(p.Measures) == 0 || p.Measures[0].Clef.Octave == 0 || p.Transposed != piece.Octave*p.Measures[0].Clef.Octave {
		return false
	}
	for i := range p.Measures {
		m := &p.Measures[i]
		for j := range m.Notes {
			if n := &m.Notes[j]; !n.Rest && n.Shift() != piece.Octave*m.Clef.Octave {
				return false
			}
		}
	}
	return true
}

func (x *scoreWriter) line(format string, args ...any) { fmt.Fprintf(&x.b, format+"\n", args...) }

func (x *scoreWriter) divisions(t piece.Ticks) int64 { return int64(t / x.unit) }

func (x *scoreWriter) head() {
	p := x.p
	x.line(`<?xml version="1.0" encoding="UTF-8"?>`)
	x.line(`<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" "http://www.musicxml.org/dtds/partwise.dtd">`)
	x.line(`<score-partwise version="4.0">`)
	if p.Title != "" {
		x.line(`  <work><work-title>%s</work-title></work>`, notation.Escape(p.Title))
	}
	x.b.WriteString(`  <identification>`)
	if p.Composer != "" {
		fmt.Fprintf(&x.b, `<creator type="composer">%s</creator>`, notation.Escape(p.Composer))
	}
	x.b.WriteString(`<encoding><software>Endpin</software></encoding>`)
	if p.School != "" {
		fmt.Fprintf(&x.b, `<miscellaneous><miscellaneous-field name="%s">%s</miscellaneous-field></miscellaneous>`, notation.SchoolField, notation.Escape(p.School))
	}
	x.line(`</identification>`)
	x.line(`  <part-list><score-part id="P1"><part-name>%s</part-name></score-part></part-list>`, notation.Escape(p.Part))
	x.line(`  <part id="P1">`)
}

// measure writes one measure: what stands at its start, its notes, what stands
// at its end.
func (x *scoreWriter) measure(i int) error {
	m := &x.p.Measures[i]
	implicit := ""
	if m.Implicit {
		implicit = ` implicit="yes"`
	}
	x.line(`    <measure number="%s"%s>`, notation.Escape(m.Number), implicit)
	x.pos = 0
	if m.SystemBreak {
		x.line(`      <print new-system="yes"/>`)
	}
	x.openingBar(i)
	x.attributes(i)
	x.openingSigns(i)
	if err := x.music(i); err != nil {
		return err
	}
	x.closingSigns(m)
	x.closingBar(i)
	x.line(`    </measure>`)
	return nil
}

// music writes the notes of a measure and the tempo marks among them.
func (x *scoreWriter) music(i int) error {
	m := &x.p.Measures[i]
	groups := tuplets(m.Notes)
	beams := beamsOf(m.Notes)
	tempos, texts := m.Tempos, m.Texts
	for j := range m.Notes {
		n := &m.Notes[j]
		x.moveTo(n.Start)
		for len(tempos) > 0 && (tempos[0].At <= n.Start || tempos[0].At < n.Start+n.Length) {
			x.tempo(m, tempos[0])
			tempos = tempos[1:]
		}
		for len(texts) > 0 && (texts[0].At <= n.Start || texts[0].At < n.Start+n.Length) {
			x.text(texts[0])
			texts = texts[1:]
		}
		if err := x.before(m, n); err != nil {
			return err
		}
		if x.begins[piece.At{Measure: i, Note: j}] {
			x.direction(`<bracket type="start" number="1" line-end="down" line-type="dashed"/>`, "")
		}
		if slices.Contains(x.o.Questions, piece.At{Measure: i, Note: j}) {
			x.words("?", "")
		}
		x.note(m, n, noteSigns{slurs: slursOf(n), tuplet: groups[j], beams: beams[j]})
		if x.ends[piece.At{Measure: i, Note: j}] {
			x.direction(`<bracket type="stop" number="1" line-end="down"/>`, "")
		}
	}
	x.moveTo(m.Length)
	for _, t := range tempos {
		x.tempo(m, t)
	}
	for _, t := range texts {
		x.text(t)
	}
	return nil
}

// moveTo leaves a gap or goes back, so that the next note begins at a place.
func (x *scoreWriter) moveTo(at piece.Ticks) {
	switch {
	case at > x.pos:
		x.line(`      <forward><duration>%d</duration></forward>`, x.divisions(at-x.pos))
	case at < x.pos:
		x.line(`      <backup><duration>%d</duration></backup>`, x.divisions(x.pos-at))
	}
	x.pos = at
}

func (x *scoreWriter) direction(what, after string) {
	x.line(`      <direction placement="above"><direction-type>%s</direction-type>%s</direction>`, what, after)
}

func (x *scoreWriter) words(text, sound string) {
	x.direction("<words>"+notation.Escape(text)+"</words>", sound)
}

// text writes a line of words; where it stands inside a note, by an offset.
func (x *scoreWriter) text(t piece.Text) {
	offset := ""
	if d := t.At - x.pos; d != 0 {
		offset = fmt.Sprintf(`<offset>%d</offset>`, x.divisions(d))
	}
	x.words(t.Says, offset)
}

// tempo writes a metronome mark; where it stands inside a note, by an offset.
func (x *scoreWriter) tempo(m *piece.Measure, t piece.Tempo) {
	offset := ""
	if d := t.At - x.pos; d != 0 {
		offset = fmt.Sprintf(`<offset sound="yes">%d</offset>`, x.divisions(d))
	}
	dot, perMinute := "", t.QPM
	if m.Time.Unit == 8 && m.Time.Beats%3 == 0 && m.Time.Beats > 3 {
		dot, perMinute = "<beat-unit-dot/>", t.QPM/1.5
	}
	x.direction(fmt.Sprintf(`<metronome><beat-unit>quarter</beat-unit>%s<per-minute>%.4g</per-minute></metronome>`, dot, perMinute),
		fmt.Sprintf(`%s<sound tempo="%s"/>`, offset, strconv.FormatFloat(t.QPM, 'f', -1, 64)))
}

// attributes writes what changes with this measure: everything in the first.
func (x *scoreWriter) attributes(i int) {
	m := &x.p.Measures[i]
	first := i == 0
	var before piece.Measure
	if !first {
		before = x.p.Measures[i-1]
	}
	var b bytes.Buffer
	if first {
		fmt.Fprintf(&b, "<divisions>%d</divisions>", x.divisions(piece.Quarter))
	}
	if first || m.Key != before.Key {
		mode := ""
		if m.Key.Minor {
			mode = "<mode>minor</mode>"
		}
		fmt.Fprintf(&b, "<key><fifths>%d</fifths>%s</key>", m.Key.Fifths, mode)
	}
	if first || m.Time != before.Time {
		if m.Time.Unit == 0 {
			b.WriteString("<time><senza-misura/></time>")
		} else {
			fmt.Fprintf(&b, "<time><beats>%d</beats><beat-type>%d</beat-type></time>", m.Time.Beats, m.Time.Unit)
		}
	}
	if c := m.Clef; (first || c != before.Clef) && c.Sign != "" {
		change := ""
		if c.Octave != 0 {
			change = fmt.Sprintf("<clef-octave-change>%d</clef-octave-change>", c.Octave)
		}
		fmt.Fprintf(&b, "<clef><sign>%s</sign><line>%d</line>%s</clef>", c.Sign, c.Line, change)
	}
	if first && !x.byClef {
		x.shift = x.p.Transposed
		b.WriteString(transposeElement(x.shift))
	}
	if b.Len() > 0 {
		x.line("      <attributes>%s</attributes>", b.String())
	}
}

func transposeElement(semitones int) string {
	octaves := ""
	if semitones/piece.Octave != 0 {
		octaves = fmt.Sprintf("<octave-change>%d</octave-change>", semitones/piece.Octave)
	}
	return fmt.Sprintf("<transpose><chromatic>%d</chromatic>%s</transpose>", semitones%piece.Octave, octaves)
}

// openingBar writes a forward repeat sign and the start of a bracket.
func (x *scoreWriter) openingBar(i int) {
	m := &x.p.Measures[i]
	inside := ""
	if m.RepeatStart {
		inside = "<bar-style>heavy-light</bar-style>"
	}
	if len(m.Endings) > 0 && x.opensEnding(i) {
		inside += fmt.Sprintf(`<ending number="%s" type="start"/>`, endingText(m.Endings))
	}
	if m.RepeatStart {
		inside += `<repeat direction="forward"/>`
	}
	if inside != "" {
		x.line(`      <barline location="left">%s</barline>`, inside)
	}
}

// closingBar writes the bar line where it is more than a plain one.
func (x *scoreWriter) closingBar(i int) {
	m := &x.p.Measures[i]
	last := i == len(x.p.Measures)-1
	inside := ""
	switch {
	case m.DoubleBar && (last || m.RepeatTimes > 0):
		inside = "<bar-style>light-heavy</bar-style>"
	case m.DoubleBar:
		inside = "<bar-style>light-light</bar-style>"
	}
	if len(m.Endings) > 0 && (last || x.opensEnding(i+1)) {
		how := "discontinue"
		if m.RepeatTimes > 0 {
			how = "stop"
		}
		inside += fmt.Sprintf(`<ending number="%s" type="%s"/>`, endingText(m.Endings), how)
	}
	if m.RepeatTimes > 0 {
		times := ""
		if m.RepeatTimes != 2 {
			times = fmt.Sprintf(` times="%d"`, m.RepeatTimes)
		}
		inside += fmt.Sprintf(`<repeat direction="backward"%s/>`, times)
	}
	if inside != "" {
		x.line(`      <barline location="right">%s</barline>`, inside)
	}
}

// opensEnding reports whether measure i does not go on under the bracket of
// the measure before it.
func (x *scoreWriter) opensEnding(i int) bool {
	if i == 0 {
		return true
	}
	a, b := &x.p.Measures[i-1], &x.p.Measures[i]
	return a.RepeatTimes > 0 || endingText(a.Endings) != endingText(b.Endings)
}

func endingText(numbers []int) string {
	text := ""
	for i, n := range numbers {
		if i > 0 {
			text += ", "
		}
		text += strconv.Itoa(n)
	}
	return text
}

// openingSigns writes the signs over the start of a measure.
func (x *scoreWriter) openingSigns(i int) {
	m := &x.p.Measures[i]
	if m.Rehearsal != "" {
		x.direction("<rehearsal>"+notation.Escape(m.Rehearsal)+"</rehearsal>", "")
	}
	for _, s := range x.o.Sections {
		switch {
		case s.Measure != i:
		case x.rehearse:
			x.words(words.Say("notation.write.section", "name", s.Name), "")
		default:
			x.direction("<rehearsal>"+notation.Escape(s.Name)+"</rehearsal>", "")
		}
	}
	if m.Segno {
		x.direction("<segno/>", `<sound segno="segno"/>`)
	}
	if m.Coda {
		x.direction("<coda/>", `<sound coda="coda"/>`)
	}
}

// closingSigns writes the instructions at the end of a measure.
func (x *scoreWriter) closingSigns(m *piece.Measure) {
	if m.ToCoda {
		x.words("To Coda", `<sound tocoda="coda"/>`)
	}
	if m.Fine {
		x.words("Fine", `<sound fine="yes"/>`)
	}
	switch m.Jump {
	case piece.DaCapo:
		x.words("D.C."+x.until(), `<sound dacapo="yes"/>`)
	case piece.DalSegno:
		x.words("D.S."+x.until(), `<sound dalsegno="segno"/>`)
	}
}

// until is how far a jump goes, for the player's eye: up to the coda's sign or the fine.
func (x *scoreWriter) until() string {
	var said string
	for i := range x.p.Measures {
		switch m := &x.p.Measures[i]; {
		case m.ToCoda:
			return " al Coda"
		case m.Fine:
			said = cmp.Or(said, " al Fine")
		}
	}
	return said
}
