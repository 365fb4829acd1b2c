package manuscript

import (
	"reflect"
	"slices"
	"strconv"

	"endpin/piece"
	"endpin/piece/writing"
)

// Manuscript is a page being written. What is done goes to the note chosen, or while one
// writes to the note written last. It belongs to one goroutine.
type Manuscript struct {
	*state
	Lowest, Highest int      // that the instrument has, MIDI: a letter goes beyond neither by itself; 0 for whatever it is
	ready           bool     // the key before chose a length
	before, undone  []*state // the last is the next
	copied          []Bar    // what was copied: notes, or whole measures
	whole           bool     // these are whole measures
	last            *laid    // what was written last
	shared          []*Bar   // while something changes: those that the moment before has too
}

// state is a page at one moment. Bars are shared with the moments before and never
// changed: bar gives one to be changed.
type state struct {
	Head Head
	Bars []*Bar
	Hand Hand
	At   piece.At // the note written last, or chosen; Note -1 before the first of a measure
	From piece.At // the other end of what is chosen
	Some bool     // notes are chosen, those from one to the other; else one writes behind At
	hold Hand     // while notes are chosen: the one to write on with
}

// Head is what stands over the page.
type Head struct {
	Title, Composer string
	Part            string
	Instrument      string // by its word
	Transposed      int    // how far it sounds from where it is written, semitones
	School          string
}

// Bar is one measure: its notes stand in Notes, and Measure.Notes is empty.
type Bar struct {
	piece.Measure
	Due   piece.Ticks // what it should hold; 0 for whatever it holds
	Notes []Note
}

// Note is a note or rest as it is written.
type Note struct {
	piece.Note
	Doubt *Doubt // what somebody should settle; nil for nothing
}

// Doubt is why a note that was heard may be wrong.
type Doubt struct {
	About  string  // "rhythm", "pitch"
	Chance float64 // that it is written wrongly, 0..1
}

// Hand is what the next note will be.
type Hand struct {
	Value    string
	Dots     int
	Triplet  piece.Ticks // what is left of the triplet begun; 0 for none
	Slurring bool        // notes go on one bow
	Then     *Hand       // the length after the next note: behind a dotted one a short one comes once
	Fingers  bool        // digits are fingers, else lengths
}

// New is an empty page in four-four, C major.
func New(instrument string, staff writing.Staff) *Manuscript {
	m := &Manuscript{state: &state{
		Head: Head{Part: staff.Part, Instrument: instrument, Transposed: staff.Transposed},
		Hand: Hand{Value: "quarter"}, At: piece.At{Measure: 0, Note: -1}, From: piece.At{Measure: 0, Note: -1},
	}}
	first := piece.Measure{Number: "1", Clef: staff.Clef, Time: piece.Time{Beats: 4, Unit: 4}}
	m.Bars = []*Bar{{Measure: first, Due: first.Time.Beat() * 4}}
	return m
}

// Of takes up a piece to be written on. Gaps become rests; what a piece cannot hold is not
// there.
func Of(p *piece.Piece, instrument string) *Manuscript {
	m := New(instrument, writing.Staff{Part: p.Part, Transposed: p.Transposed})
	m.Head.Title, m.Head.Composer, m.Head.School = p.Title, p.Composer, p.School
	if len(p.Measures) == 0 {
		return m
	}
	m.Bars = nil
	for i := range p.Measures {
		b := &Bar{Measure: p.Measures[i]}
		b.Due = b.Time.Beat() * piece.Ticks(b.Time.Beats)
		if b.Implicit || b.Time.Unit == 0 {
			b.Due = b.Length
		}
		at := piece.Ticks(0)
		for _, n := range p.Measures[i].Notes {
			if gap := n.Start - at; gap > 0 && !n.Grace {
				for _, r := range writing.Signs(at, n.Start, b.Time, true) {
					b.Notes = append(b.Notes, Note{Note: r})
				}
				at = n.Start
			}
			at += n.Length
			b.Notes = append(b.Notes, Note{Note: n})
		}
		b.Measure.Notes = nil
		m.Bars = append(m.Bars, b)
	}
	m.end()
	return m
}

// edit makes one change, which Undo takes back. What changed nothing is no change.
func (m *Manuscript) edit(change func()) {
	was, next := m.state, *m.state
	next.Bars = slices.Clone(was.Bars)
	m.state, m.shared = &next, slices.Clone(was.Bars)
	change()
	m.shared = nil
	if next.Head == was.Head && len(next.Bars) == len(was.Bars) && reflect.DeepEqual(next.Bars, was.Bars) {
		next.Bars = was.Bars // the hand and what is chosen are nothing to undo
		return
	}
	if len(next.Bars) != len(was.Bars) {
		m.shared = was.Bars
		m.number()
		m.shared = nil
	}
	m.before, m.undone = append(m.before, was), nil
}

// bar is a measure to be changed, in edit alone.
func (m *Manuscript) bar(i int) *Bar {
	if slices.Contains(m.shared, m.Bars[i]) {
		b := *m.Bars[i]
		b.Notes = slices.Clone(b.Notes)
		m.Bars[i] = &b
	}
	return m.Bars[i]
}

// Undo takes the last change back; it reports whether there was one.
func (m *Manuscript) Undo() bool { return m.step(&m.before, &m.undone) }

// Redo makes a change again that was taken back.
func (m *Manuscript) Redo() bool { return m.step(&m.undone, &m.before) }

func (m *Manuscript) step(from, to *[]*state) bool {
	n := len(*from)
	if n == 0 {
		return false
	}
	*to = append(*to, m.state)
	fingers := m.Hand.Fingers
	next := *(*from)[n-1]
	m.state, *from = &next, (*from)[:n-1]
	m.Hand.Fingers = fingers // what digits are does not jump
	return true
}

// filled is how much a measure holds.
func (b *Bar) filled() (t piece.Ticks) {
	for _, n := range b.Notes {
		t += n.Length
	}
	return t
}

// Off is by how much a measure holds too much, or below zero too little; 0 where it adds
// up, and for the last one while it is being written.
func (m *Manuscript) Off(i int) piece.Ticks {
	b := m.Bars[i]
	if b.Due == 0 {
		return 0
	}
	off := b.filled() - b.Due
	if i == len(m.Bars)-1 && off < 0 {
		return 0
	}
	return off
}

// Left is what the last measure still takes.
func (m *Manuscript) Left() piece.Ticks {
	b := m.Bars[len(m.Bars)-1]
	return max(0, b.Due-b.filled())
}

// Notes is how many notes are written, rests left out.
func (m *Manuscript) Notes() (n int) {
	for _, b := range m.Bars {
		for i := range b.Notes {
			if !b.Notes[i].Rest {
				n++
			}
		}
	}
	return n
}

// number gives the measures from the first new one on the numbers that follow.
func (m *Manuscript) number() {
	next, anew := 1, false
	for i, b := range m.Bars {
		if i == 0 && b.Implicit {
			next = 0
		}
		if anew = anew || b.Number == "" || i < len(m.shared) && m.shared[i].Number != b.Number; anew && b.Number != number(next) && !(b.Implicit && i > 0) {
			m.bar(i).Number = number(next)
		}
		if is, err := strconv.Atoi(m.Bars[i].Number); err == nil {
			next = is + 1
		}
	}
}

// Piece is the page as a piece. A measure that is not full lasts as long as what it holds.
func (m *Manuscript) Piece() *piece.Piece {
	h := m.Head
	p := &piece.Piece{Title: h.Title, Composer: h.Composer, Part: h.Part, Transposed: h.Transposed, School: h.School}
	for i, b := range m.Bars {
		x := b.Measure
		x.Length = b.filled()
		if x.Length == 0 {
			x.Length = b.Due
		}
		for _, n := range b.Notes {
			x.Notes = append(x.Notes, n.Note)
		}
		if i == len(m.Bars)-1 {
			x.DoubleBar = true
		}
		p.Measures = append(p.Measures, x)
	}
	return p
}

func number(n int) string { return strconv.Itoa(n) }
