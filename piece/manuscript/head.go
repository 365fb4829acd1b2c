package manuscript

import (
	"slices"

	"endpin/piece"
	"endpin/piece/writing"
)

// here is where what is set over the page begins: at the measure of the first note chosen,
// else at the beginning; it holds to where it changes already.
func (m *Manuscript) here() int {
	if !m.Some {
		return 0
	}
	from, _ := m.Range()
	return from.Measure
}

// Here is the measure by which the page's key, metre and clef are shown.
func (m *Manuscript) Here() *Bar { return m.Bars[m.here()] }

// from goes through the measures from here on that are alike, to be changed.
func (m *Manuscript) from(alike func(a, b *Bar) bool, change func(i int, b *Bar)) {
	m.edit(func() {
		i := m.here()
		first := *m.Bars[i]
		for ; i < len(m.Bars) && alike(&first, m.Bars[i]); i++ {
			change(i, m.bar(i))
			m.settle(i)
		}
	})
}

// SetTitle, SetComposer and SetTempo (quarter notes a minute; 0 for no mark) write what
// stands over the page.
func (m *Manuscript) SetTitle(text string) { m.edit(func() { m.Head.Title = text }) }

// SetComposer writes who made it.
func (m *Manuscript) SetComposer(text string) { m.edit(func() { m.Head.Composer = text }) }

// SetTempo marks a tempo over the beginning, or the first measure chosen.
func (m *Manuscript) SetTempo(qpm float64) {
	m.edit(func() {
		b := m.bar(m.here())
		b.Tempos = slices.DeleteFunc(slices.Clone(b.Tempos), func(t piece.Tempo) bool { return t.At == 0 })
		if qpm > 0 {
			b.Tempos = append([]piece.Tempo{{QPM: qpm}}, b.Tempos...)
		}
	})
}

// Tempo is the one marked over the measure that is shown; 0 for none.
func (m *Manuscript) Tempo() float64 {
	for _, t := range m.Here().Tempos {
		if t.At == 0 {
			return t.QPM
		}
	}
	return 0
}

// SetInstrument has the page be for another instrument: its notes stay where they stand.
func (m *Manuscript) SetInstrument(word string, staff writing.Staff) {
	m.edit(func() {
		alone := m.Notes() == 0
		m.Head.Instrument, m.Head.Part, m.Head.Transposed = word, staff.Part, staff.Transposed
		for i := range m.Bars {
			b := m.bar(i)
			if alone {
				b.Clef = staff.Clef
			}
			for k := range b.Notes {
				if n := &b.Notes[k]; !n.Rest {
					m.spell(n, n.Spelling)
				}
			}
		}
	})
}

// SetClef writes another clef: the notes are the same.
func (m *Manuscript) SetClef(c piece.Clef) {
	m.from(func(a, b *Bar) bool { return a.Clef == b.Clef }, func(_ int, b *Bar) { b.Clef = c })
}

// SetKey writes another key signature. Heads and signs stay as they look: a note without a
// sign of its own follows the key.
func (m *Manuscript) SetKey(k piece.Key) {
	m.from(func(a, b *Bar) bool { return a.Key == b.Key }, func(_ int, b *Bar) {
		said := map[int]int{} // what a sign in the measure says, by place
		for i := range b.Notes {
			n := &b.Notes[i]
			if n.Rest {
				continue
			}
			s := n.Spelling
			switch alter, is := said[s.Degree()]; {
			case n.Accidental != "":
				said[s.Degree()] = n.Alter
			case is:
				s.Alter = alter
			default:
				s.Alter = k.Of(s.Step)
			}
			m.spell(n, s)
		}
		b.Key = k
	})
}

// SetTime writes another metre. What is written from there on is divided anew; a note over a
// new bar line is tied.
func (m *Manuscript) SetTime(t piece.Time) {
	if t.Beats <= 0 || t.Unit <= 0 || m.Here().Time == t {
		return
	}
	m.edit(func() {
		i := m.here()
		first := *m.Bars[i]
		j := i
		for j < len(m.Bars) && m.Bars[j].Time == first.Time && (j == i || !m.Bars[j].Implicit) {
			j++
		}
		was, behind := m.Bars[i:j], slices.Clone(m.Bars[j:])
		full := t.Beat() * piece.Ticks(t.Beats)
		if first.Implicit && i == 0 && first.Due < full { // the pickup stays
			b := m.bar(0)
			b.Time = t
			m.settle(0)
			if i++; i == j {
				return
			}
			was = was[1:]
			first = *was[0]
		}
		signs := slices.Clone(was) // signs of measures stay with the note that they began at
		empty := after(&first)
		empty.Time, empty.Due, empty.Number = t, full, first.Number
		keepSigns(empty, signs[0])
		m.Bars = append(m.Bars[:i:i], empty)
		m.At = piece.At{Measure: i, Note: -1}
		for _, x := range untied(signs) {
			n := x.Note
			n.MIDI = max(n.MIDI, 1)
			m.room()
			m.lay(n)
			if x.begins != nil && x.begins != signs[0] && m.At.Note == 0 {
				keepSigns(m.bar(m.At.Measure), x.begins)
			}
			if x.ends != nil && x.ends != signs[0] {
				end := m.bar(m.At.Measure)
				end.RepeatTimes = max(end.RepeatTimes, x.ends.RepeatTimes)
			}
		}
		m.Bars = append(m.Bars, behind...)
		for k := i; k < len(m.Bars); k++ {
			m.settle(k)
		}
		m.end()
	})
	if m.Notes() == 0 {
		m.Beat()
	}
}

// placed is a note with the measure that begins, or ends, with it.
type placed struct {
	Note
	begins, ends *Bar
}

// untied are the notes of measures; what is tied and may be said by one sign is one.
func untied(bars []*Bar) (all []placed) {
	for _, b := range bars {
		for i, n := range b.Notes {
			x := placed{Note: n}
			if i == 0 {
				x.begins = b
			}
			if i == len(b.Notes)-1 {
				x.ends = b
			}
			if k := len(all) - 1; k >= 0 && all[k].join(x) {
				continue
			}
			all = append(all, x)
		}
	}
	return all
}

// join takes in the note that this one is tied to, where one sign says both and nothing stands
// between them.
func (x *placed) join(next placed) bool {
	if !x.TieToNext || next.Rest || next.MIDI != x.MIDI || next.Dynamics != "" || x.Tuplet.Actual > 0 || next.Tuplet.Actual > 0 ||
		x.ends != nil && x.ends.RepeatTimes > 0 || next.begins != nil && (next.begins.RepeatStart || next.begins.Rehearsal != "" || len(next.begins.Tempos) > 0 || len(next.begins.Endings) > 0) {
		return false
	}
	all := writing.Signs(0, x.Length+next.Length, piece.Time{Beats: 4, Unit: 4}, false)
	if len(all) != 1 {
		return false
	}
	x.Value, x.Dots, x.Length = all[0].Value, all[0].Dots, all[0].Length
	x.TieToNext, x.SlurTo, x.ends = next.TieToNext, next.SlurTo, next.ends
	x.Articulated.Fermata = x.Articulated.Fermata || next.Articulated.Fermata
	return true
}

// keepSigns takes over what stands at the beginning of a measure.
func keepSigns(to, from *Bar) {
	to.Tempos, to.Flows, to.Rehearsal = from.Tempos, from.Flows, from.Rehearsal
	to.RepeatStart, to.Segno, to.Coda, to.Endings = from.RepeatStart, from.Segno, from.Coda, from.Endings
}

// SetPickup has the page begin with a measure that holds so much, or 0 for a whole one.
func (m *Manuscript) SetPickup(t piece.Ticks) {
	m.edit(func() {
		b := m.Bars[0]
		full := b.Time.Beat() * piece.Ticks(b.Time.Beats)
		is := b.Implicit && b.Due < full
		switch {
		case t >= full || t < 0, t == 0 && !is:
			return
		case t == 0 && len(b.Notes) == 0 && len(m.Bars) > 1: // nothing was written in it
			if next := m.bar(1); len(next.Tempos) == 0 {
				next.Tempos = b.Tempos
			}
			m.Bars = m.Bars[1:]
			m.end()
		case t == 0:
			b = m.bar(0)
			b.Implicit, b.Due = false, full
		case is || len(m.Bars) == 1 && b.filled() <= t:
			b = m.bar(0)
			b.Implicit, b.Due = true, t
		default: // a whole page is there already: the pickup goes before it
			x := after(b)
			x.Implicit, x.Due = true, t
			x.Tempos = b.Tempos
			m.bar(0).Tempos = nil
			m.Bars = append([]*Bar{x}, m.Bars...)
			m.At, m.Some = piece.At{Measure: 0, Note: -1}, false
			m.From = m.At
		}
		next := 1
		for i := range m.Bars {
			if m.Bars[i].Implicit {
				if i == 0 {
					m.bar(0).Number = "0"
				}
				continue
			}
			m.bar(i).Number = number(next)
			next++
		}
		m.settle(0)
	})
}

// Pickup is what the pickup holds; 0 where the page begins with a whole measure.
func (m *Manuscript) Pickup() piece.Ticks {
	if b := m.Bars[0]; b.Implicit {
		return b.Due
	}
	return 0
}
