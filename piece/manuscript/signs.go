package manuscript

import (
	"slices"
	"strings"

	"endpin/piece"
)

// Tie ties the note to the next of the same pitch, or takes the tie away.
func (m *Manuscript) Tie() {
	m.each(false, func(_ piece.At, n *Note) { n.TieToNext = !n.TieToNext })
}

// Slur begins a bow at the note written last, which goes on until Slur is asked again. It
// takes the notes chosen on one bow, or apart; one alone together with the next.
func (m *Manuscript) Slur() {
	if !m.Some {
		n := m.note(m.At)
		m.Hand.Slurring = !m.Hand.Slurring && n != nil && !n.Rest
		return
	}
	from, to := m.Range()
	if from == to {
		to = m.next(to)
	}
	on := false
	for a := range m.chosen() {
		on = on || a.Before(to) && !m.note(a).Rest && !m.note(a).SlurTo
	}
	m.edit(func() {
		for a := from; a.Before(to) && m.note(a) != nil; a = m.next(a) {
			next := m.note(m.next(a))
			if next == nil || next.Rest || m.note(a).Rest {
				continue
			}
			m.bar(a.Measure).Notes[a.Note].SlurTo = on
			m.settle(a.Measure)
		}
	})
}

// Fermata and Staccato set their sign over the notes, or take it away.
func (m *Manuscript) Fermata() {
	m.each(true, func(_ piece.At, n *Note) { n.Articulated.Fermata = !n.Articulated.Fermata })
}

// Staccato sets a dot over the notes, or takes it away.
func (m *Manuscript) Staccato() {
	m.each(false, func(_ piece.At, n *Note) { n.Articulated.Staccato = !n.Articulated.Staccato })
}

// Bow goes on from no bow mark to down-bow, to up-bow and to none.
func (m *Manuscript) Bow() {
	m.each(false, func(_ piece.At, n *Note) {
		n.Marks.Bow = map[piece.Bow]piece.Bow{piece.NoBow: piece.Down, piece.Down: piece.Up, piece.Up: piece.NoBow}[n.Marks.Bow]
	})
}

// Pizz plucks from the note on, or bows again: up to where it changes already.
func (m *Manuscript) Pizz() {
	from, _ := m.Range()
	n := m.note(from)
	if n == nil {
		return
	}
	was := n.Articulated.Pizz
	m.edit(func() {
		for a := from; m.note(a) != nil && m.note(a).Articulated.Pizz == was; a = m.next(a) {
			m.bar(a.Measure).Notes[a.Note].Articulated.Pizz = !was
		}
	})
}

// Loud writes how loud under the note: "p", "mf", "cresc."; empty takes it away. It reports
// whether the text is of that kind.
func (m *Manuscript) Loud(text string) bool {
	text = strings.Join(strings.Fields(text), " ")
	if text != "" && !piece.IsDynamics(text) {
		return false
	}
	from, _ := m.Range()
	if n := m.note(from); n == nil || n.Rest {
		return true
	}
	m.edit(func() { m.bar(from.Measure).Notes[from.Note].Dynamics = text })
	return true
}

// Mark sets the next rehearsal mark over the measure, or takes it away.
func (m *Manuscript) Mark() {
	from, _ := m.Range()
	m.edit(func() {
		b := m.bar(from.Measure)
		if b.Rehearsal != "" {
			b.Rehearsal = ""
			return
		}
		for letter := 'A'; letter <= 'Z'; letter++ {
			if !slices.ContainsFunc(m.Bars, func(b *Bar) bool { return b.Rehearsal == string(letter) }) {
				b.Rehearsal = string(letter)
				return
			}
		}
	})
}

// Repeat goes on, for the measure, from no repeat sign to one at its beginning, to one at
// its end, to both, and to none; where one writes and has just filled it, the end comes
// first. Of several measures chosen the first and the last get one.
func (m *Manuscript) Repeat() {
	from, to := m.Range()
	m.edit(func() {
		if from.Measure != to.Measure {
			a, b := m.bar(from.Measure), m.bar(to.Measure)
			on := !a.RepeatStart || b.RepeatTimes == 0
			a.RepeatStart, b.RepeatTimes = on, 0
			if on {
				b.RepeatTimes = 2
			}
			return
		}
		b := m.bar(from.Measure)
		both := []struct {
			starts bool
			times  int
		}{{false, 0}, {true, 0}, {false, 2}, {true, 2}}
		if !m.Some && from.Measure > 0 && b.filled() >= b.Due { // behind what is just closed
			both[1], both[2] = both[2], both[1]
		}
		for i, is := range both {
			if is.starts == b.RepeatStart && (is.times > 0) == (b.RepeatTimes > 0) {
				next := both[(i+1)%len(both)]
				b.RepeatStart, b.RepeatTimes = next.starts, next.times
				return
			}
		}
	})
}

// Ending makes the measures a first ending, whose last has a repeat sign, then a second one,
// then none.
func (m *Manuscript) Ending() {
	from, to := m.Range()
	m.edit(func() {
		next := map[bool][]int{true: {1}}[len(m.Bars[from.Measure].Endings) == 0]
		if slices.Equal(m.Bars[from.Measure].Endings, []int{1}) {
			next = []int{2}
		}
		for i := from.Measure; i <= to.Measure; i++ {
			m.bar(i).Endings = next
		}
		last := m.bar(to.Measure)
		if last.RepeatTimes = 0; slices.Equal(next, []int{1}) {
			last.RepeatTimes = 2
		}
	})
}

// DoubleBar sets a double bar line at the end of the measure, or takes it away.
func (m *Manuscript) DoubleBar() {
	_, to := m.Range()
	m.edit(func() { b := m.bar(to.Measure); b.DoubleBar = !b.DoubleBar })
}

// Finger pencils a finger over the note ("0" to "4", "T") and goes on to the next; the same
// one again takes it away.
func (m *Manuscript) Finger(f string) {
	m.pencil(func(x *piece.Marks) {
		if x.Finger == f {
			f = ""
		}
		x.Finger = f
	})
	from, _ := m.Range()
	m.Some = m.note(from) != nil
	for a := m.next(from); m.note(a) != nil; a = m.next(a) {
		if !m.note(a).Rest {
			m.Choose(a, false)
			return
		}
	}
}

// String pencils a string, 1 the highest; the same one again takes it away.
func (m *Manuscript) String(s int) {
	m.pencil(func(x *piece.Marks) {
		if x.String == s {
			s = 0
		}
		x.String = s
	})
}

// positions are those that are pencilled, from the nut up.
var positions = []string{"", "half", "1", "2", "2-3", "3", "3-4", "4", "5", "5-6", "6", "6-7", "7", "thumb"}

// Position goes to the next position up, or down, from no mark.
func (m *Manuscript) Position(by int) {
	m.pencil(func(x *piece.Marks) {
		k := max(0, slices.Index(positions, x.Position))
		x.Position = positions[(k+by+len(positions))%len(positions)]
	})
}

func (m *Manuscript) pencil(change func(*piece.Marks)) {
	from, _ := m.Range()
	if n := m.note(from); n == nil || n.Rest {
		return
	}
	m.edit(func() { change(&m.bar(from.Measure).Notes[from.Note].Marks) })
}

// Pencil takes over fingers, strings and positions that were proposed for the notes chosen,
// or all; marks gives those of a note, false for none.
func (m *Manuscript) Pencil(marks func(piece.At) (piece.Marks, bool)) {
	m.edit(func() {
		from, to := m.Range()
		if !m.Some {
			from, to = piece.At{Measure: 0, Note: 0}, piece.At{Measure: len(m.Bars), Note: 0}
		}
		for a := m.next(piece.At{Measure: from.Measure, Note: from.Note - 1}); m.note(a) != nil && !to.Before(a); a = m.next(a) {
			if x, ok := marks(a); ok && !m.note(a).Rest {
				n := &m.bar(a.Measure).Notes[a.Note]
				x.Bow, x.Harmonic, x.Open = n.Marks.Bow, n.Marks.Harmonic, n.Marks.Open
				n.Marks = x
			}
		}
	})
}
