package export

import (
	"fmt"
	"slices"
	"strings"

	"endpin/piece"
	"endpin/piece/notation"
	"endpin/piece/words"
)

// noteSigns are the signs at a note that its neighbours decide.
type noteSigns struct {
	slurs  string
	tuplet string
	beams  string
}

// before writes what changes with a note and stands before it: transposition,
// pizzicato, position.
func (x *scoreWriter) before(m *piece.Measure, n *piece.Note) error {
	if n.Rest {
		return nil
	}
	_, letter := piece.Semitones(n.Step)
	if written := x.octaveOf(m, n); written < 0 || written > 9 || !letter {
		return words.Fault("notation.measure", "at", m.Number, "err", words.Fault("notation.write.beyond", "note", n.Step, "octave", n.Octave))
	}
	if shift := n.Shift(); !x.byClef && shift != x.shift {
		x.shift = shift
		x.line("      <attributes>%s</attributes>", transposeElement(shift))
	}
	if n.Articulated.Pizz != x.plucked {
		x.plucked = n.Articulated.Pizz
		if x.plucked {
			x.words("pizz.", `<sound pizzicato="yes"/>`)
		} else {
			x.words("arco", `<sound pizzicato="no"/>`)
		}
	}
	for _, d := range piece.DynamicsOf(n.Dynamics) {
		what := "<words>" + notation.Escape(d) + "</words>"
		if piece.IsLoudness(d) {
			what = "<dynamics><" + d + "/></dynamics>"
		}
		x.line(`      <direction placement="below"><direction-type>%s</direction-type></direction>`, what)
	}
	if text := piece.PositionText(n.Marks.Position); text != "" && !n.Grace && n.Length > 0 {
		x.words(text, "")
	}
	return nil
}

// octaveOf is the octave that MusicXML writes: the page's, with the octave of a
// clef counted in where that clef tells the transposition.
func (x *scoreWriter) octaveOf(m *piece.Measure, n *piece.Note) int {
	if x.byClef {
		return n.Octave + m.Clef.Octave
	}
	return n.Octave
}

func (x *scoreWriter) note(m *piece.Measure, n *piece.Note, s noteSigns) {
	b := &x.b
	b.WriteString("      <note>")
	grace := n.Grace || n.Length == 0
	cue := n.Rest && n.Step != ""
	switch {
	case grace:
		b.WriteString("<grace/>")
	case cue:
		b.WriteString("<cue/>")
	}
	switch {
	case !n.Rest || cue:
		fmt.Fprintf(b, "<pitch><step>%s</step>", n.Step)
		if n.Alter != 0 {
			fmt.Fprintf(b, "<alter>%d</alter>", n.Alter)
		}
		fmt.Fprintf(b, "<octave>%d</octave></pitch>", x.octaveOf(m, n))
	case n.Start == 0 && n.Length == m.Length && (n.Value == "" || n.Value == "whole"):
		b.WriteString(`<rest measure="yes"/>`)
	default:
		b.WriteString("<rest/>")
	}
	if !grace {
		fmt.Fprintf(b, "<duration>%d</duration>", x.divisions(n.Length))
		x.pos += n.Length
	}
	ends := x.tied != nil && !n.Rest && !n.Grace && x.tied.MIDI == n.MIDI
	if ends && !cue {
		b.WriteString(`<tie type="stop"/>`)
	}
	if n.TieToNext && !cue {
		b.WriteString(`<tie type="start"/>`)
	}
	b.WriteString("<voice>1</voice>")
	if slices.Contains(piece.Values, n.Value) {
		fmt.Fprintf(b, "<type>%s</type>", n.Value)
	}
	b.WriteString(strings.Repeat("<dot/>", n.Dots))
	if slices.Contains(accidentalValues, n.Accidental) {
		fmt.Fprintf(b, "<accidental>%s</accidental>", n.Accidental)
	}
	if n.Tuplet.Actual > 0 {
		fmt.Fprintf(b, "<time-modification><actual-notes>%d</actual-notes><normal-notes>%d</normal-notes></time-modification>", n.Tuplet.Actual, n.Tuplet.Normal)
	}
	b.WriteString(s.beams)
	inside := s.tuplet + s.slurs
	if ends {
		inside += `<tied type="stop"/>`
	}
	if n.TieToNext {
		inside += `<tied type="start"/>`
	}
	if t := technicalOf(n); t != "" {
		inside += "<technical>" + t + "</technical>"
	}
	if a := articulationsOf(n.Articulated); a != "" {
		inside += "<articulations>" + a + "</articulations>"
	}
	if n.Articulated.Fermata {
		inside += "<fermata/>"
	}
	if inside != "" {
		b.WriteString("<notations>" + inside + "</notations>")
	}
	b.WriteString("</note>\n")
	if !n.Grace {
		x.tied = nil
		if n.TieToNext {
			x.tied = n
		}
	}
}

// technicalOf writes what a teacher pencils in at the note. A position stands
// over the staff as words, but for a note that words cannot be hung on.
func technicalOf(n *piece.Note) string {
	t, m := "", n.Marks
	switch m.Bow {
	case piece.Down:
		t += "<down-bow/>"
	case piece.Up:
		t += "<up-bow/>"
	}
	if m.Harmonic {
		t += "<harmonic><natural/></harmonic>"
	}
	if m.Open {
		t += "<open-string/>"
	}
	if m.Finger != "" {
		t += "<fingering>" + notation.Escape(m.Finger) + "</fingering>"
	}
	if m.String > 0 {
		t += fmt.Sprintf("<string>%d</string>", m.String)
	}
	if text := piece.PositionText(m.Position); text != "" && (n.Rest || n.Grace || n.Length == 0) {
		t += "<other-technical>" + notation.Escape(text) + "</other-technical>"
	}
	return t
}

func articulationsOf(a piece.Articulation) string {
	s := ""
	if a.Staccato {
		s += "<staccato/>"
	}
	if a.Breath {
		s += "<breath-mark/>"
	}
	return s
}

// slursOf begins a slur where a bow begins and ends it where that ends: slurs
// that meet on a note are one bow and are written as one.
func slursOf(n *piece.Note) string {
	switch {
	case n.Rest || n.Grace || n.SlurFrom == n.SlurTo:
		return ""
	case n.SlurTo:
		return `<slur type="start" number="1"/>`
	}
	return `<slur type="stop" number="1"/>`
}

// tuplets tells for each note where a tuplet's bracket begins or ends: when
// its notes have filled a whole number of its shortest notes' groups, or the
// ratio changes.
func tuplets(notes []piece.Note) []string {
	signs := make([]string, len(notes))
	first := none
	var filled, shortest piece.Ticks
	last := none
	end := func() {
		if first != none && last != first {
			signs[first] += `<tuplet type="start" number="1"/>`
			signs[last] += `<tuplet type="stop" number="1"/>`
		}
		first = none
	}
	for i := range notes {
		n := &notes[i]
		if n.Grace || n.Length == 0 {
			continue
		}
		if first != none && n.Tuplet != notes[first].Tuplet {
			end()
		}
		if n.Tuplet.Actual == 0 {
			continue
		}
		value := n.Length * piece.Ticks(n.Tuplet.Actual) / piece.Ticks(n.Tuplet.Normal)
		if first == none {
			first, filled, shortest = i, 0, value
		}
		last, filled, shortest = i, filled+n.Length, min(shortest, value)
		if filled >= shortest*piece.Ticks(n.Tuplet.Normal) {
			end()
		}
	}
	end()
	return signs
}

// none marks an index that stands for nothing.
const none = -1

// beamsOf writes the beams: the first level as the piece has it, the levels
// below it as the note values ask.
func beamsOf(notes []piece.Note) []string {
	signs := make([]string, len(notes))
	for from := 0; from < len(notes); from++ {
		if b := notes[from].Beam; b != "begin" {
			if b != "" {
				signs[from] = beam(1, b) // an end without a beginning
			}
			continue
		}
		group := []int{from}
		to := from
		for to+1 < len(notes) && notes[to].Beam != "end" && notes[to+1].Beam != "begin" {
			to++
			if notes[to].Beam != "" {
				group = append(group, to)
			}
		}
		for k, i := range group {
			signs[i] = beam(1, notes[i].Beam)
			for level := 2; level <= piece.ValueFlags(notes[i].Value); level++ {
				before := k > 0 && piece.ValueFlags(notes[group[k-1]].Value) >= level
				after := k+1 < len(group) && piece.ValueFlags(notes[group[k+1]].Value) >= level
				how := "forward hook"
				switch {
				case before && after:
					how = "continue"
				case before:
					how = "end"
				case after:
					how = "begin"
				case k > 0:
					how = "backward hook"
				}
				signs[i] += beam(level, how)
			}
		}
		from = to
	}
	return signs
}

func beam(level int, how string) string {
	return fmt.Sprintf(`<beam number="%d">%s</beam>`, level, how)
}

// accidentalValues are what MusicXML 4.0 knows of its type accidental-value.
var accidentalValues = strings.Fields("sharp natural flat double-sharp sharp-sharp flat-flat natural-sharp natural-flat " +
	"quarter-flat quarter-sharp three-quarters-flat three-quarters-sharp sharp-down sharp-up natural-down natural-up " +
	"flat-down flat-up double-sharp-down double-sharp-up flat-flat-down flat-flat-up arrow-down arrow-up triple-sharp " +
	"triple-flat slash-quarter-sharp slash-sharp slash-flat double-slash-flat sharp-1 sharp-2 sharp-3 sharp-5 flat-1 " +
	"flat-2 flat-3 flat-4 sori koron other")
