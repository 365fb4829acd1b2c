package manuscript

import (
	"iter"
	"slices"
	"strings"

	"endpin/piece"
)

// chosen are the notes chosen, or the one written last.
func (m *Manuscript) chosen() iter.Seq[piece.At] {
	from, to := m.Range()
	return func(yield func(piece.At) bool) {
		for a := from; !to.Before(a) && a.Measure < len(m.Bars); {
			if m.note(a) == nil {
				a = piece.At{Measure: a.Measure + 1, Note: 0}
				continue
			}
			if !yield(a) {
				return
			}
			a.Note++
		}
	}
}

// Range is what is chosen, from one note to another, or the note written last twice.
func (m *Manuscript) Range() (from, to piece.At) {
	if !m.Some {
		return m.At, m.At
	}
	if m.At.Before(m.From) {
		return m.At, m.From
	}
	return m.From, m.At
}

// each changes every note chosen; rests only where they are meant too.
func (m *Manuscript) each(rests bool, change func(piece.At, *Note)) {
	m.edit(func() {
		last := -1
		for a := range m.chosen() {
			if n := m.note(a); n.Rest && !rests {
				continue
			}
			change(a, &m.bar(a.Measure).Notes[a.Note])
			if a.Measure != last && last >= 0 {
				m.settle(last)
			}
			last = a.Measure
		}
		if last >= 0 {
			m.settle(last)
		}
	})
}

// pitched changes every note chosen, rests left out, and with it what is tied to it: to a
// player it is one note.
func (m *Manuscript) pitched(change func(piece.At, *Note)) {
	goesOn := func(a piece.At) bool {
		n, next := m.note(a), m.note(m.next(a))
		return n != nil && n.TieToNext && next != nil && !next.Rest && next.MIDI == n.MIDI
	}
	var all []piece.At
	for a := range m.chosen() {
		for goesOn(m.previous(a)) {
			a = m.previous(a)
		}
		for more := !m.note(a).Rest && !slices.Contains(all, a); more; a = m.next(a) {
			all = append(all, a)
			more = goesOn(a)
		}
	}
	m.edit(func() {
		for i, a := range all {
			change(a, &m.bar(a.Measure).Notes[a.Note])
			if i+1 == len(all) || all[i+1].Measure != a.Measure {
				m.settle(a.Measure)
			}
		}
	})
}

// Length chooses a length: of the notes chosen, or of the next.
func (m *Manuscript) Length(value string) {
	if !m.Some {
		m.Hand.Value, m.Hand.Dots, m.Hand.Then = value, 0, nil
		return
	}
	m.each(true, func(_ piece.At, n *Note) {
		n.Value, n.Dots, n.Doubt = value, 0, nil
		n.Length = lengthOf(n.Note)
	})
	m.Hand.Value, m.Hand.Dots = value, 0
}

// Beat chooses the length that one counts in: a quarter in three-four, a dotted quarter in
// six-eight.
func (m *Manuscript) Beat() {
	for _, v := range values {
		for dots := range 2 {
			if lengthOf(piece.Note{Value: v, Dots: dots}) != m.Bars[max(0, m.At.Measure)].Time.Counted() {
				continue
			}
			if m.Length(v); dots > 0 && m.Some {
				m.Dot()
			}
			m.Hand.Dots = dots
			return
		}
	}
}

// Dot puts a dot behind the note, a second one, or takes both away. A note that then ends
// within a beat is mostly followed by the short one that completes it: while one writes
// that length is in hand, once. Where the beat is complete the next note is dotted as well.
func (m *Manuscript) Dot() {
	if n := m.note(m.At); !m.Some && (n == nil || n.Value == "") {
		return
	}
	if m.Some {
		m.each(true, func(_ piece.At, n *Note) { m.dot(n) })
		return
	}
	m.edit(func() {
		a := m.At
		n := m.bar(a.Measure).Notes[a.Note]
		whole := m.note(a).Length
		m.dot(&n)
		b := m.bar(a.Measure)
		if l := m.last; l != nil && l.at == a && m.tiedTo(a) { // all of it is dotted
			bars, hand := m.Bars, m.Hand
			whole := l.note
			m.dot(&whole)
			next := l.before
			next.Bars = slices.Clone(next.Bars)
			*m.state = next
			m.Hand = hand
			m.shared = append(m.shared, bars...)
			m.lay(whole)
			m.last = &laid{before: l.before, note: whole, at: m.At}
			n = whole
		} else if a.Note+1 == len(b.Notes) && n.Length > whole && n.Tuplet.Actual == 0 { // beyond the bar line it is tied
			b.Notes = b.Notes[:a.Note]
			m.At.Note--
			m.settle(a.Measure)
			m.lay(n)
		} else {
			b.Notes[a.Note] = n
			m.settle(a.Measure)
		}
		m.complete(n)
	})
}

// tiedTo tells whether a tie leads to a note.
func (m *Manuscript) tiedTo(a piece.At) bool {
	n := m.note(m.previous(a))
	return n != nil && n.TieToNext
}

func (m *Manuscript) dot(n *Note) {
	n.Dots = (n.Dots + 1) % 3
	n.Length, n.Doubt = lengthOf(n.Note), nil
}

// complete takes the length in hand that is likely behind a dotted note.
func (m *Manuscript) complete(n Note) {
	h := &m.Hand
	if h.Then != nil { // dotted again
		h.Value, h.Dots, h.Then = h.Then.Value, h.Then.Dots, nil
	}
	h.Value, h.Dots = n.Value, 0
	b := m.Bars[m.At.Measure]
	if n.Dots == 0 || h.Triplet > 0 {
		return
	}
	if (m.upbeat(m.At.Measure)+b.filled())%b.Time.Counted() == 0 {
		if h.Dots = n.Dots; !m.tiedTo(m.At) {
			m.give()
		}
		return
	}
	for i, v := range values {
		if short := i + n.Dots; v == n.Value && short < len(values) {
			h.Then = &Hand{Value: n.Value}
			h.Value = values[short]
		}
	}
}

// Triplet begins three notes in the time of two, of the length in hand, or ends them; it
// makes triplets of the notes chosen, or plain notes again.
func (m *Manuscript) Triplet() {
	h := &m.Hand
	switch {
	case m.Some:
		m.each(true, func(_ piece.At, n *Note) {
			if n.Tuplet.Actual > 0 {
				n.Tuplet = piece.Tuplet{}
			} else {
				n.Tuplet = piece.Tuplet{Actual: 3, Normal: 2}
			}
			n.Length, n.Doubt = lengthOf(n.Note), nil
		})
	case h.Triplet > 0:
		h.Triplet = 0
	default:
		h.Dots = 0
		h.Triplet = 2 * lengthOf(piece.Note{Value: h.Value})
	}
}

// Alter writes a sharp (1), a flat (-1) or a natural (0). A sharp on a sharp is a double
// one, on a double one a sharp again; flats alike.
func (m *Manuscript) Alter(by int) {
	m.pitched(func(_ piece.At, n *Note) {
		s := n.Spelling
		if s.Alter = by; n.Alter == by && n.Accidental != "" && by != 0 {
			s.Alter = 2 * by
		}
		n.Doubt = nil
		m.spell(n, s)
	})
}

// Step moves notes so many places of the staff up, or down; they are altered as the key says,
// and as much beside it as they were. Eight places and none less keep what they were.
func (m *Manuscript) Step(places int) {
	m.pitched(func(a piece.At, n *Note) {
		key := m.Bars[a.Measure].Key
		s := at(n.Spelling.Degree() + places)
		s.Alter = n.Alter
		if places%7 != 0 {
			s.Alter = max(-2, min(2, key.Of(s.Step)+n.Alter-key.Of(n.Step)))
		}
		if s.Octave < lowest || s.Octave > highest {
			return
		}
		n.Doubt = nil
		m.spell(n, s)
	})
}

// Semitone moves notes a semitone up (1) or down (-1), spelled as the key has them, or with
// a sharp upward and a flat downward.
func (m *Manuscript) Semitone(by int) {
	m.pitched(func(a piece.At, n *Note) {
		key := m.Bars[a.Measure].Key
		want := n.Spelling.Pitch() + by
		best, cost := n.Spelling, 99
		for d := -2; d <= 2; d++ {
			s := at(n.Spelling.Degree() + d)
			s.Alter = 0
			if s.Alter = want - s.Pitch(); s.Alter < -1 || s.Alter > 1 {
				continue
			}
			c := 3
			switch s.Alter {
			case key.Of(s.Step):
				c = 0
			case 0:
				c = 1
			case by:
				c = 2
			}
			if c < cost {
				best, cost = s, c
			}
		}
		if cost < 99 && best.Octave >= lowest && best.Octave <= highest {
			n.Doubt = nil
			m.spell(n, best)
		}
	})
}

// Transpose takes the whole page into another key, so many steps on the circle of fifths
// away, the shorter way up or down. It reports false, and changes nothing, where that would
// ask for more than seven sharps or flats, or more than double ones.
func (m *Manuscript) Transpose(fifths int) bool {
	semitones := ((7*fifths)%12+18)%12 - 6
	for _, b := range m.Bars {
		if k := b.Key.Fifths + fifths; k < -7 || k > 7 {
			return false
		}
		for _, n := range b.Notes {
			if !n.Rest {
				if s := moved(n.Spelling, fifths, semitones); s.Alter < -2 || s.Alter > 2 || s.Octave < lowest || s.Octave > highest {
					return false
				}
			}
		}
	}
	m.edit(func() {
		for i := range m.Bars {
			b := m.bar(i)
			b.Key.Fifths += fifths
			for k := range b.Notes {
				if n := &b.Notes[k]; !n.Rest {
					m.spell(n, moved(n.Spelling, fifths, semitones))
					n.Marks.Finger, n.Marks.String, n.Marks.Position, n.Marks.Open, n.Marks.Harmonic = "", 0, "", false, false
				}
			}
		}
		for i := range m.Bars {
			m.settle(i)
		}
	})
	return true
}

// moved is a pitch so many steps along the line of fifths, in the octave that lies so many
// semitones away.
func moved(s piece.Spelling, fifths, semitones int) piece.Spelling {
	letter, alter := piece.AlongFifths(strings.Index(piece.Sharps, s.Step) + 7*s.Alter + fifths)
	x := piece.Spelling{Step: letter, Alter: alter, Octave: s.Octave}
	for want := s.Pitch() + semitones; x.Pitch() != want; {
		if x.Pitch() < want {
			x.Octave++
		} else {
			x.Octave--
		}
		if x.Octave < -20 || x.Octave > 20 {
			break
		}
	}
	return x
}

// Delete takes the notes chosen away, or the one written last. Measures of which nothing is
// left go where several notes were chosen, and at the end.
func (m *Manuscript) Delete() {
	from, to := m.Range()
	if m.note(m.At) == nil && from == to {
		m.back()
		return
	}
	m.edit(func() {
		for i := to.Measure; i >= from.Measure; i-- {
			b := m.bar(i)
			first, end := 0, len(b.Notes)
			if i == from.Measure {
				first = max(0, from.Note)
			}
			if i == to.Measure {
				end = min(end, to.Note+1)
			}
			if first < end {
				b.Notes = append(b.Notes[:first:first], b.Notes[end:]...)
			}
			empty := len(b.Notes) == 0 && len(m.Bars) > 1
			if empty && (from != to || i == len(m.Bars)-1) {
				m.Bars = append(m.Bars[:i:i], m.Bars[i+1:]...)
				continue
			}
			m.settle(i)
		}
		m.At = piece.At{Measure: from.Measure, Note: from.Note - 1}
		if m.At.Measure >= len(m.Bars) {
			m.end()
		} else if m.At.Note < 0 && m.At.Measure > 0 {
			m.At = piece.At{Measure: from.Measure - 1, Note: len(m.Bars[from.Measure-1].Notes) - 1}
		}
		if m.note(m.next(m.At)) == nil {
			m.takeUp()
			m.Some = false
		} else if m.Some { // what came after stands there now
			m.At = m.next(m.At)
		}
		m.From = m.At
		m.Hand.Triplet, m.Hand.Then = 0, nil
		if k := len(m.Bars[m.At.Measure].Notes); k > 0 && m.At.Note >= 0 {
			m.unslur(m.At)
		}
	})
}

// back takes an empty last measure away.
func (m *Manuscript) back() {
	if i := m.At.Measure; i > 0 && i == len(m.Bars)-1 && len(m.Bars[i].Notes) == 0 {
		m.edit(func() {
			m.Bars = m.Bars[:i:i]
			m.end()
		})
	}
}

// unslur ends a slur or a tie that goes on to nothing.
func (m *Manuscript) unslur(a piece.At) {
	n := m.note(a)
	next := m.note(m.next(a))
	if n == nil || !n.SlurTo && !n.TieToNext {
		return
	}
	if next == nil || next.Rest {
		x := &m.bar(a.Measure).Notes[a.Note]
		x.SlurTo, x.TieToNext = false, false
		m.settle(a.Measure)
	} else if n.TieToNext && next.MIDI != n.MIDI {
		m.bar(a.Measure).Notes[a.Note].TieToNext = false
	}
}
