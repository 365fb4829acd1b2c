package marking

import (
	"bytes"
	"slices"

	"endpin/piece"
	"endpin/piece/notation"
	"endpin/piece/pencil"
	"endpin/ui/desk/errand"
	"endpin/ui/desk/said"
	"endpin/ui/desk/score"
)

// Host is the desk whose page is marked. Its methods are called on the desk's goroutine.
type Host interface {
	Post(func())           // on that goroutine
	Changed()              // what is seen is another
	Say(sentence string)   // empty takes away what was said
	Fault(sentence string) // likewise; what does not go, and the mend
	Busy(deed string) bool // something else goes on before the deed; it says so
	Score() *score.Score
	Lay(s *score.Score, at piece.At) // the piece on the desk as it is marked now, last at a note
	Kept(s *score.Score)             // the piece on the desk lies in another file, or was written anew
}

// Open takes up the file of a piece; it is called from any goroutine.
type Open func(s *score.Score) (*pencil.Pencil, error)

// Marking is the pencil. It belongs to the desk's goroutine.
type Marking struct {
	On bool     // it is in the hand: a press on the page marks
	At piece.At // what is chosen; Note below 0 for the measure itself

	host   Host
	open   Open
	all    map[of]*sheet
	errand *errand.Errand
}

// of is what a sheet is known by.
type of struct{ file, part string }

// sheet is a piece that is being marked.
type sheet struct {
	*pencil.Pencil
	score *score.Score // as it was laid last
	kept  []byte       // as it lies in its file
}

// New sets it out; open may be nil, and then nothing can be marked.
func New(h Host, open Open) *Marking { return &Marking{host: h, open: open, all: map[of]*sheet{}} }

func (m *Marking) now() *sheet {
	s := m.host.Score()
	return m.all[of{s.File, s.Part}]
}

// TakeUp takes the pencil up, with a measure chosen, or puts it away; the marks stay.
func (m *Marking) TakeUp(measure int) {
	if m.On {
		m.PutAway()
		return
	}
	if m.open == nil || m.host.Busy("pencil") {
		return
	}
	m.host.Say("")
	if m.now() != nil {
		m.begin(measure)
		return
	}
	s, open := m.host.Score(), m.open
	m.errand.Drop()
	m.errand = errand.Send(m.host.Post, func(*errand.Errand) func() {
		p, err := open(s)
		return func() {
			switch {
			case err != nil:
				m.host.Fault(said.Sentence(err))
			case m.host.Score().File != s.File || m.host.Score().Part != s.Part || m.host.Busy("pencil"):
				return // another piece was laid on the desk, or somebody plays
			default:
				m.all[of{s.File, s.Part}] = &sheet{p, s, p.Bytes()}
				m.begin(measure)
			}
			m.host.Changed()
		}
	})
}

func (m *Marking) begin(measure int) {
	m.On = true
	m.choose(max(0, min(measure, len(m.piece().Measures)-1)), 1)
	m.host.Changed()
}

// PutAway puts the pencil away.
func (m *Marking) PutAway() {
	m.errand.Drop()
	if m.On {
		m.On = false
		m.host.Changed()
	}
}

// As is a piece as it is to lie on the desk: with the marks that were set in it and not kept.
func (m *Marking) As(s *score.Score) *score.Score {
	if x := m.all[of{s.File, s.Part}]; x != nil && (x.unkept() || x.score.Piece == s.Piece) {
		return x.score
	}
	delete(m.all, of{s.File, s.Part}) // read anew, it may be another
	return s
}

func (x *sheet) unkept() bool { return !bytes.Equal(x.Bytes(), x.kept) }

// Unkept are the titles of pieces with marks that are kept nowhere.
func (m *Marking) Unkept() (titles []string) {
	for _, x := range m.all {
		if x.unkept() {
			titles = append(titles, x.score.Title())
		}
	}
	slices.Sort(titles)
	return titles
}

// UnkeptHere reports whether the piece on the desk has such marks.
func (m *Marking) UnkeptHere() bool {
	x := m.now()
	return x != nil && x.unkept()
}

// Marked is a file of music as it is marked on the desk.
type Marked struct {
	File  []byte // nil where it is marked as it lies on disk
	Alone bool   // it holds the one part alone
}

// Marked has the piece on the desk written with marks that are not kept, and with others
// taken besides. What it gives may be called from any goroutine.
func (m *Marking) Marked(taken map[piece.At]piece.Marks) func() (Marked, error) {
	s, open := m.host.Score(), m.open
	x := m.now()
	switch {
	case x != nil && x.unkept():
		p := x.Apart()
		open = func(*score.Score) (*pencil.Pencil, error) { return p, nil }
	case len(taken) == 0 || open == nil:
		return func() (Marked, error) { return Marked{}, nil }
	}
	return func() (Marked, error) {
		p, err := open(s)
		for at, k := range taken {
			if err == nil {
				err = p.Note(at, k)
			}
		}
		if err != nil {
			return Marked{}, err
		}
		return Marked{p.Bytes(), p.Copied()}, nil
	}
}

func (m *Marking) piece() *piece.Piece { return m.host.Score().Piece }

// Press chooses a note of a measure, or below 0 the measure itself; it reports whether the
// pencil is in the hand.
func (m *Marking) Press(measure, note int) bool {
	if !m.On {
		return false
	}
	if all := m.piece().Measures; measure >= 0 && measure < len(all) {
		if note >= len(all[measure].Notes) || note >= 0 && all[measure].Notes[note].Rest {
			note = -1
		}
		m.At = piece.At{Measure: measure, Note: note}
		m.host.Say("")
		m.host.Changed()
	}
	return true
}

// Note is the note chosen; nil where it is a measure.
func (m *Marking) Note() *piece.Note {
	all := m.piece().Measures
	if m.At.Measure >= len(all) || m.At.Note < 0 || m.At.Note >= len(all[m.At.Measure].Notes) {
		return nil
	}
	return &all[m.At.Measure].Notes[m.At.Note]
}

// Measure is the measure chosen, or the one of the note.
func (m *Marking) Measure() *piece.Measure {
	return &m.piece().Measures[min(m.At.Measure, len(m.piece().Measures)-1)]
}

// Nth is which note of its measure is chosen, from 1, without rests.
func (m *Marking) Nth() (n int) {
	for i := range m.Measure().Notes[:m.At.Note+1] {
		if !m.Measure().Notes[i].Rest {
			n++
		}
	}
	return n
}

// choose chooses the first note from a measure on, or back, by steps of by; where there is
// none, the measure.
func (m *Marking) choose(measure, by int) {
	m.At = piece.At{Measure: measure, Note: -1}
	for i := measure; i >= 0 && i < len(m.piece().Measures); i += by {
		if at := m.sounding(i); len(at) > 0 {
			if m.At = (piece.At{Measure: i, Note: at[0]}); by < 0 {
				m.At.Note = at[len(at)-1]
			}
			return
		}
	}
}

// sounding are the notes of a measure without its rests.
func (m *Marking) sounding(measure int) (at []int) {
	for k := range m.piece().Measures[measure].Notes {
		if !m.piece().Measures[measure].Notes[k].Rest {
			at = append(at, k)
		}
	}
	return at
}

// Next goes on to the next note or measure, whichever is chosen, or back.
func (m *Marking) Next(by int) {
	last := len(m.piece().Measures) - 1
	if m.At.Note < 0 {
		m.Press(max(0, min(last, m.At.Measure+by)), -1)
		return
	}
	at := m.sounding(m.At.Measure)
	if i := slices.Index(at, m.At.Note) + by; i >= 0 && i < len(at) {
		m.Press(m.At.Measure, at[i])
		return
	}
	was := m.At
	if to := was.Measure + by; to >= 0 && to <= last {
		if m.choose(to, by); m.At.Note < 0 {
			m.At = was
		}
		m.Press(m.At.Measure, m.At.Note)
	}
}

// Turn goes from a note to its measure, and from a measure to its first note.
func (m *Marking) Turn() {
	if m.At.Note >= 0 {
		m.Press(m.At.Measure, -1)
	} else if at := m.sounding(m.At.Measure); len(at) > 0 {
		m.Press(m.At.Measure, at[0])
	}
}

// laid lays the piece as it is marked now, or says what stood in the way.
func (m *Marking) laid(err error) {
	x := m.now()
	if err != nil {
		m.host.Fault(said.Sentence(err))
		m.host.Changed()
		return
	}
	m.host.Say("")
	x.score = m.host.Score().Fingered(x.Piece)
	m.host.Lay(x.score, m.At)
	m.host.Changed()
}

// Mark changes the marks of the note chosen.
func (m *Marking) Mark(change func(*piece.Marks)) {
	x := m.now()
	if n := m.Note(); m.On && n != nil && x != nil {
		marks := x.Piece.Measures[m.At.Measure].Notes[m.At.Note].Marks
		change(&marks)
		m.laid(x.Pencil.Note(m.At, notation.Pencilled(marks)))
	}
}

// set puts a value in a place, or takes it away where it stands there.
func set[T comparable](at *T, value T) {
	var none T
	if *at == value {
		value = none
	}
	*at = value
}

// Finger, String, Position and Bow set one mark at the note, or take away the one that is so.
func (m *Marking) Finger(f string)     { m.Mark(func(k *piece.Marks) { set(&k.Finger, f) }) }
func (m *Marking) String(n int)        { m.Mark(func(k *piece.Marks) { set(&k.String, n) }) }
func (m *Marking) Position(tok string) { m.Mark(func(k *piece.Marks) { set(&k.Position, tok) }) }
func (m *Marking) Bow(b piece.Bow)     { m.Mark(func(k *piece.Marks) { set(&k.Bow, b) }) }

// Positions are those that may be set, from the nut up.
func (m *Marking) Positions() []string { return m.host.Score().On.System.Tokens() }

// Strings are the names of the strings, the highest first.
func (m *Marking) Strings() (names []string) {
	for _, s := range m.host.Score().On.Strings {
		names = append(names, s.Name)
	}
	return names
}

// Higher goes to the next position, or back; below the lowest there is none.
func (m *Marking) Higher(by int) {
	all := append([]string{""}, m.Positions()...)
	m.Mark(func(k *piece.Marks) {
		k.Position = all[max(0, min(len(all)-1, max(0, slices.Index(all, k.Position))+by))]
	})
}

// NextBow goes from no bow to down, to up, and to none.
func (m *Marking) NextBow() {
	next := map[piece.Bow]piece.Bow{piece.NoBow: piece.Down, piece.Down: piece.Up}
	m.Mark(func(k *piece.Marks) { k.Bow = next[k.Bow] })
}

// Signs are those over the measure.
func (m *Marking) Signs() notation.Signs { return notation.SignsOf(m.Measure()) }

// Sign changes them.
func (m *Marking) Sign(change func(*notation.Signs)) {
	if x := m.now(); m.On && x != nil {
		s := notation.SignsOf(&x.Piece.Measures[m.At.Measure])
		change(&s)
		m.laid(x.Pencil.Measure(m.At.Measure, s))
	}
}

// RepeatStart and RepeatEnd set a repeat sign at one side of the measure, or take it away.
func (m *Marking) RepeatStart() {
	m.Sign(func(s *notation.Signs) { s.RepeatStart = !s.RepeatStart })
}
func (m *Marking) RepeatEnd() { m.Sign(func(s *notation.Signs) { s.RepeatEnd = !s.RepeatEnd }) }

// RubOut takes all away that the pencil can set at what is chosen.
func (m *Marking) RubOut() {
	if m.At.Note >= 0 {
		m.Mark(func(k *piece.Marks) { *k = piece.Marks{} })
		return
	}
	m.Sign(func(s *notation.Signs) { *s = notation.Signs{} })
}

// Undo takes the last mark back, Redo sets it again.
func (m *Marking) Undo() { m.step((*pencil.Pencil).Undo) }
func (m *Marking) Redo() { m.step((*pencil.Pencil).Redo) }

func (m *Marking) step(step func(*pencil.Pencil) bool) {
	if x := m.now(); m.On && x != nil && step(x.Pencil) {
		m.laid(nil)
	}
}

// Steps reports whether there is something to undo, and to do again.
func (m *Marking) Steps() (back, on bool) {
	if x := m.now(); x != nil {
		return x.Steps()
	}
	return false, false
}
