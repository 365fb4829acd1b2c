package manuscript

import "endpin/piece"

// next is the note behind another, or a place where none stands.
func (m *Manuscript) next(a piece.At) piece.At {
	a.Note++
	for a.Measure < len(m.Bars) && a.Note >= len(m.Bars[a.Measure].Notes) {
		a = piece.At{Measure: a.Measure + 1, Note: 0}
	}
	return a
}

// previous is the note before another, or a place where none stands.
func (m *Manuscript) previous(a piece.At) piece.At {
	a.Note--
	for a.Note < 0 && a.Measure > 0 {
		a = piece.At{Measure: a.Measure - 1, Note: len(m.Bars[a.Measure-1].Notes) - 1}
	}
	return a
}

// end writes on behind the last note.
func (m *Manuscript) end() {
	i := len(m.Bars) - 1
	m.At = piece.At{Measure: i, Note: len(m.Bars[i].Notes) - 1}
	m.From, m.Some = m.At, false
}

// End writes on at the end of the page.
func (m *Manuscript) End() {
	m.takeUp()
	m.end()
	m.Hand.Triplet, m.Hand.Slurring = 0, false
}

// takeUp takes the length in hand again that one wrote with before notes were chosen.
func (m *Manuscript) takeUp() {
	if m.Some && m.hold.Value != "" {
		fingers := m.Hand.Fingers
		m.Hand = m.hold
		m.Hand.Fingers = fingers
	}
}

// Begin chooses the first note.
func (m *Manuscript) Begin() { m.Choose(m.next(piece.At{Measure: 0, Note: -1}), false) }

// Choose chooses a note; more takes in all up to it. Where none stands nothing changes.
func (m *Manuscript) Choose(a piece.At, more bool) {
	n := m.note(a)
	if n == nil {
		return
	}
	if !more || !m.Some {
		if m.From = a; more && m.note(m.At) != nil {
			m.From = m.At
		}
	}
	if !m.Some {
		m.hold = m.Hand
	}
	m.At, m.Some = a, true
	h := &m.Hand
	h.Triplet, h.Slurring, h.Then = 0, false, nil
	if n.Value != "" && n.Value != "whole" || !n.Rest {
		h.Value, h.Dots = n.Value, n.Dots
	}
}

// All chooses every note.
func (m *Manuscript) All() {
	m.Choose(m.next(piece.At{Measure: 0, Note: -1}), false)
	i := len(m.Bars) - 1
	for i > 0 && len(m.Bars[i].Notes) == 0 {
		i--
	}
	m.Choose(piece.At{Measure: i, Note: len(m.Bars[i].Notes) - 1}, true)
}

// Move chooses the note so many behind, or before.
func (m *Manuscript) Move(by int, more bool) {
	a := m.At
	for ; by > 0; by-- {
		a = m.next(a)
	}
	if by < 0 && !m.Some && !more { // from writing on, the note written last is chosen first
		by++
	}
	for ; by < 0; by++ {
		a = m.previous(a)
	}
	if m.note(a) == nil && a.Measure >= len(m.Bars) {
		if !more {
			m.End()
		}
		return
	}
	m.Choose(a, more)
}

// WriteOn writes behind the note chosen.
func (m *Manuscript) WriteOn() {
	_, to := m.Range()
	m.At, m.From, m.Some = to, to, false
}

// Copy keeps what is chosen; it reports whether something was.
func (m *Manuscript) Copy() bool {
	if !m.Some {
		return false
	}
	from, to := m.Range()
	m.copied = nil
	for i := from.Measure; i <= to.Measure; i++ {
		b := *m.Bars[i]
		first, end := 0, len(b.Notes)
		if i == from.Measure {
			first = from.Note
		}
		if i == to.Measure {
			end = to.Note + 1
		}
		b.Notes = append([]Note(nil), b.Notes[first:end]...)
		m.copied = append(m.copied, b)
	}
	m.whole = from.Note == 0 && to.Note == len(m.Bars[to.Measure].Notes)-1
	return true
}

// Cut copies what is chosen and takes it away.
func (m *Manuscript) Cut() {
	if m.Copy() {
		m.Delete()
	}
}

// Paste writes what was copied behind the note written last, or in the place of what is
// chosen: notes one after another, and whole measures as measures where one ends.
func (m *Manuscript) Paste() bool {
	if len(m.copied) == 0 {
		return false
	}
	m.edit(func() {
		at, b := m.At, m.Bars[m.At.Measure]
		full := at.Note+1 == len(b.Notes) && (b.Due == 0 || b.filled() >= b.Due || len(b.Notes) == 0)
		if m.whole && full && !m.Some {
			m.pasteBars()
			return
		}
		if m.Some {
			_, to := m.Range()
			m.At, m.From, m.Some = to, to, false
		}
		for _, b := range m.copied {
			for _, n := range b.Notes {
				m.room()
				m.lay(n)
			}
		}
	})
	return true
}

func (m *Manuscript) pasteBars() {
	i := m.At.Measure + 1
	if len(m.Bars[i-1].Notes) == 0 {
		i-- // in the place of an empty one
		m.Bars = append(m.Bars[:i:i], m.Bars[i+1:]...)
	}
	var all []*Bar
	for k := range m.copied {
		b := m.copied[k]
		b.Notes = append([]Note(nil), b.Notes...)
		b.Number = ""
		if i > 0 || k > 0 {
			b.Implicit = false
		}
		b.Rehearsal, b.Tempos = "", nil
		all = append(all, &b)
	}
	m.Bars = append(m.Bars[:i:i], append(all, m.Bars[i:]...)...)
	if i > 0 && i+len(all) == len(m.Bars) && m.Bars[i-1].DoubleBar {
		m.bar(i - 1).DoubleBar = false
	}
	last := i + len(all) - 1
	m.At = piece.At{Measure: last, Note: len(m.Bars[last].Notes) - 1}
	m.From, m.Some = m.At, false
	for j := i; j <= last; j++ {
		m.settle(j)
	}
}

// AddMeasure closes the measure that one writes in, full or not, and begins the next; in the
// midst it sets an empty one behind it.
func (m *Manuscript) AddMeasure() {
	m.edit(func() {
		_, to := m.Range()
		i := to.Measure
		if i+1 == len(m.Bars) && len(m.Bars[i].Notes) == 0 && m.Bars[i].Due > 0 {
			return
		}
		x := after(m.Bars[i])
		m.Bars = append(m.Bars[:i+1:i+1], append([]*Bar{x}, m.Bars[i+1:]...)...)
		m.At = piece.At{Measure: i + 1, Note: -1}
		m.From, m.Some = m.At, false
		m.Hand.Triplet, m.Hand.Then = 0, nil
	})
}
