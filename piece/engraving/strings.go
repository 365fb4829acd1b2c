package engraving

import (
	"endpin/piece"
	"endpin/piece/words"
)

// stringNames decides which notes name their string.
//
// In the lowest places of the neck every note has one string, the highest whose
// open note is not above it; nobody pencils that. A string is named where a
// note stands on another one, once until the hand or the string changes: "sul D"
// over an A in the third position. Marks of the piece itself are printed where
// the string changes; but in a piece that marks more than a quarter of its notes
// they are a fingering written out, and the rule above chooses among them. Common
// practice, no source.
type stringNames struct {
	open  map[int]int // MIDI of the open strings, where known, by string
	dense bool        // the piece marks more than a quarter of its notes
	every bool        // each mark is printed

	last  int // the string of the note before
	frame int // and its hand frame
	named int // the string last named by a mark
}

var bassStrings = map[int]int{1: 43, 2: 38, 3: 33, 4: 28} // G D A E, as they sound

func stringNamesOf(p *piece.Piece, o *Options, hands map[[2]int]hand) stringNames {
	s := stringNames{open: map[int]int{}, frame: -1}
	notes, marked := 0, 0
	for m := range p.Measures {
		for i := range p.Measures[m].Notes {
			n := &p.Measures[m].Notes[i]
			if n.Rest || n.Grace {
				continue
			}
			notes++
			if n.Marks.String > 0 {
				marked++
			}
			if h, ok := hands[[2]int{m, i}]; ok && (h.Stopped() || h.Open) {
				s.open[h.String] = n.MIDI - h.Semitones
			}
		}
	}
	s.dense, s.every = 4*marked > notes, o.Fingers == MarkedFingers
	if len(o.Strings) == 4 && o.Strings[0] == "G" && o.Strings[3] == "E" {
		for k, v := range bassStrings {
			if _, ok := s.open[k]; !ok {
				s.open[k] = v
			}
		}
	}
	return s
}

// plain is the string on which a note lies lowest on the neck; 0 where not known.
func (s *stringNames) plain(midi int) int {
	best, at := 0, -1
	for k, open := range s.open {
		if open <= midi && open > at {
			best, at = k, open
		}
	}
	return best
}

// next tells which string to name over a note, or 0.
func (s *stringNames) next(n *piece.Note, h hand, planned bool) int {
	str, mark := n.Marks.String, n.Marks.String
	if str == 0 && planned && !h.Off {
		str = h.String
	}
	if str == 0 {
		return 0
	}
	frame := -1
	if planned && h.Stopped() {
		frame = h.Frame
	}
	same := str == s.last && (frame == s.frame || frame < 0)
	away := s.plain(n.MIDI) != str
	name := away && !same
	if mark > 0 && (!s.dense || s.plain(n.MIDI) == 0) {
		name = mark != s.named
	}
	if mark > 0 && s.every {
		name = true
	}
	if mark > 0 {
		s.named = mark
	}
	s.last = str
	if frame >= 0 {
		s.frame = frame
	}
	if !name {
		return 0
	}
	return str
}

// nameStrings finds the notes of a system that name their string.
func (e *engraver) nameStrings() {
	for _, h := range e.notes {
		if h.rest {
			continue
		}
		f, planned := e.hands[[2]int{h.measure, h.note}]
		if str := e.strings.next(h.n, f, planned && e.o.Fingers != MarkedFingers); str > 0 && str <= len(e.o.Strings) {
			h.sul = e.o.Strings[str-1]
		}
	}
}

// stringsNamed sets "sul D" over the notes that need it.
func (e *engraver) stringsNamed() {
	for _, h := range e.notes {
		if h.sul != "" {
			e.now = h.measure
			name := words.OpenString(h.sul).String()
			if !e.strings.every { // where each note may have one there is no room for more
				name = words.Say("engraving.sul", "string", name)
			}
			e.over(Fingers, e.within(Text{name, h.x - 0.1, 0, sulSize, Start, Italic}), 0.3, -0.8)
		}
	}
}
