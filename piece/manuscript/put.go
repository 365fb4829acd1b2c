package manuscript

import (
	"slices"
	"strings"

	"endpin/piece"
	"endpin/piece/writing"
)

// Letter puts a note, "C" to "B", as near to the one before as it can; a note that is
// chosen becomes it.
func (m *Manuscript) Letter(step string) {
	if m.Some {
		m.edit(func() {
			for at := range m.chosen() {
				b := m.bar(at.Measure)
				n := &b.Notes[at.Note]
				from := n.Spelling
				if n.Rest {
					from = m.spellingBefore(at)
				}
				m.pitch(at, m.nearest(step, from))
				m.settle(at.Measure)
			}
		})
		return
	}
	m.edit(func() {
		m.room()
		from := m.spellingBefore(piece.At{Measure: m.At.Measure, Note: m.At.Note + 1})
		m.put(Note{Note: piece.Note{Spelling: m.nearest(step, from)}})
	})
}

// Rest puts a rest of the length in hand; notes that are chosen become rests.
func (m *Manuscript) Rest() {
	m.edit(func() {
		if !m.Some {
			m.room()
			m.put(Note{Note: piece.Note{Rest: true}})
			return
		}
		for at := range m.chosen() {
			b := m.bar(at.Measure)
			n := &b.Notes[at.Note]
			n.Note = piece.Note{Rest: true, Length: n.Length, Value: n.Value, Dots: n.Dots, Tuplet: n.Tuplet}
			n.Doubt = nil
			m.settle(at.Measure)
		}
	})
}

// RestMeasure puts a rest that fills a measure.
func (m *Manuscript) RestMeasure() {
	if m.Some {
		return
	}
	m.edit(func() {
		m.room()
		b := m.bar(m.At.Measure)
		if len(b.Notes) > 0 {
			return
		}
		due := b.Due
		if due == 0 {
			due = 4 * piece.Quarter
		}
		b.Notes = []Note{{Note: piece.Note{Rest: true, Value: "whole", Length: due}}}
		m.At.Note = 0
	})
}

// at is the letter of a degree.
func at(place int) piece.Spelling {
	octave := (place + 700) / 7
	return piece.Spelling{Step: piece.Letters[place+700-7*octave:][:1], Octave: octave - 100}
}

// nearest is the letter nearest to another note, a fourth away at most, but where the instrument
// has it an octave higher or lower only.
func (m *Manuscript) nearest(step string, to piece.Spelling) piece.Spelling {
	d := strings.Index(piece.Letters, step) - strings.Index(piece.Letters, to.Step)
	switch {
	case d > 3:
		d -= 7
	case d < -3:
		d += 7
	}
	s := at(to.Degree() + d)
	as := s
	as.Alter = m.Bars[m.At.Measure].Key.Of(step)
	switch sounds := as.Pitch() + m.Head.Transposed; {
	case sounds < m.Lowest:
		s.Octave++
	case m.Highest > 0 && sounds > m.Highest:
		s.Octave--
	}
	s.Octave = max(lowest, min(highest, s.Octave))
	return s
}

// The octaves in which notes are written.
const lowest, highest = 0, 8

// middle is what stands on the middle line of a staff, on the page.
func middle(c piece.Clef) piece.Spelling {
	line := map[string]piece.Spelling{"F": {Step: "F", Octave: 3}, "G": {Step: "G", Octave: 4}, "C": {Step: "C", Octave: 4}}[c.Sign]
	if line.Step == "" {
		return piece.Spelling{Step: "D", Octave: 3}
	}
	return at(line.Degree() + 2*(3-c.Line))
}

// spellingBefore is the note before a place, whose neighbour a new one becomes; where
// there is none the middle line.
func (m *Manuscript) spellingBefore(a piece.At) piece.Spelling {
	for i, k := a.Measure, a.Note-1; i >= 0; i-- {
		for ; k >= 0; k-- {
			if n := &m.Bars[i].Notes[k]; !n.Rest {
				return n.Spelling
			}
		}
		if i > 0 {
			k = len(m.Bars[i-1].Notes) - 1
		}
	}
	return middle(m.Bars[a.Measure].Clef)
}

// pitch gives a note a place on the staff, altered as the key and the measure so far say.
func (m *Manuscript) pitch(a piece.At, s piece.Spelling) {
	b := m.Bars[a.Measure]
	s.Alter = b.Key.Of(s.Step)
	for k := a.Note - 1; k >= 0; k-- {
		if n := &b.Notes[k]; !n.Rest && n.Step == s.Step && n.Octave == s.Octave {
			s.Alter = n.Alter
			break
		}
	}
	n := &b.Notes[a.Note]
	n.Rest, n.Doubt = false, nil
	m.spell(n, s)
	if n.Value == "whole" && n.Length != lengthOf(n.Note) { // it was a rest for the measure
		m.signs(&n.Note, n.Length)
	}
}

// signs gives a note the one sign that says a length, where there is one.
func (m *Manuscript) signs(n *piece.Note, length piece.Ticks) {
	if all := writing.Signs(0, length, piece.Time{Beats: 4, Unit: 4}, false); len(all) == 1 {
		n.Value, n.Dots, n.Tuplet, n.Length = all[0].Value, all[0].Dots, all[0].Tuplet, all[0].Length
	}
}

// spell writes a pitch; it sounds as far from the page as all do.
func (m *Manuscript) spell(n *Note, s piece.Spelling) {
	n.Spelling = s
	n.MIDI = s.Pitch() + m.Head.Transposed
}

// values are the signs for lengths that are chosen, the longest first.
var values = writing.Values

// lengthOf is how long a sign lasts; what it lasts already where it has no known sign.
func lengthOf(n piece.Note) piece.Ticks {
	if !slices.Contains(values, n.Value) {
		return n.Length
	}
	length := piece.ValueLength(n.Value)
	length = 2*length - length>>n.Dots
	if n.Tuplet.Actual > 0 {
		length = length * piece.Ticks(n.Tuplet.Normal) / piece.Ticks(n.Tuplet.Actual)
	}
	return length
}

// room goes on to the next measure where the one that is written in is full, and closes it.
func (m *Manuscript) room() {
	i := m.At.Measure
	b := m.Bars[i]
	if b.Due == 0 || b.filled() < b.Due || m.At.Note+1 < len(b.Notes) {
		return
	}
	if i+1 == len(m.Bars) {
		m.add()
	} else if len(m.Bars[i+1].Notes) > 0 {
		return // one writes into the midst, and what is too much is said
	}
	m.At = piece.At{Measure: i + 1, Note: -1}
}

// add adds a measure at the end.
func (m *Manuscript) add() {
	i := len(m.Bars) - 1
	last := m.Bars[i]
	if last.DoubleBar { // the end is no end any more
		last = m.bar(i)
		last.DoubleBar = false
	}
	m.Bars = append(m.Bars, after(last))
}

// after is an empty measure behind another.
func after(last *Bar) *Bar {
	b := &Bar{Measure: piece.Measure{Clef: last.Clef, Key: last.Key, Time: last.Time}}
	b.Due = b.Time.Beat() * piece.Ticks(b.Time.Beats)
	return b
}

// put writes a note of the length in hand behind the one written last. Beyond the bar line
// it goes on in the next measure, tied.
func (m *Manuscript) put(n Note) {
	h := &m.Hand
	n.Value, n.Dots = h.Value, h.Dots
	if h.Triplet > 0 {
		n.Tuplet = piece.Tuplet{Actual: 3, Normal: 2}
	}
	n.Length = lengthOf(n.Note)
	if a := m.previous(piece.At{Measure: m.At.Measure, Note: m.At.Note + 1}); m.note(a) != nil {
		before := m.note(a)
		n.Articulated.Pizz = before.Articulated.Pizz
		if h.Slurring && !before.Rest && !n.Rest {
			m.bar(a.Measure).Notes[a.Note].SlurTo = true
		}
	}
	was := *m.state
	was.Bars = slices.Clone(was.Bars)
	m.shared = append(m.shared, was.Bars...)
	m.lay(n)
	m.last = &laid{before: was, note: n, at: m.At}
	if h.Triplet > 0 {
		h.Triplet = max(0, h.Triplet-n.Length)
	}
	if h.Then != nil {
		then := *h.Then
		h.Value, h.Dots, h.Then = then.Value, then.Dots, nil
	} else if b := m.Bars[m.At.Measure]; b.Time.Counted() != b.Time.Beat() && h.Value == "quarter" && h.Dots == 0 && h.Triplet == 0 &&
		(m.upbeat(m.At.Measure)+b.Notes[m.At.Note].Start)%b.Time.Counted() == 0 { // an eighth mostly completes the beat
		h.Then, h.Value = &Hand{Value: "quarter"}, "eighth"
	}
	m.give()
}

// give has a length that does not fit any more give way to what is left of the measure: over
// the bar line goes a note whose length was chosen for it.
func (m *Manuscript) give() {
	h, b := &m.Hand, m.Bars[m.At.Measure]
	left := b.Due - b.filled()
	if left <= 0 || h.Triplet > 0 || lengthOf(piece.Note{Value: h.Value, Dots: h.Dots}) <= left {
		return
	}
	from := m.upbeat(m.At.Measure) + b.filled()
	if all := writing.Signs(from, from+left, b.Time, false); len(all) == 1 && all[0].Tuplet.Actual == 0 {
		h.Value, h.Dots, h.Then = all[0].Value, all[0].Dots, nil
	}
}

// laid is the note that was written last, which a dot may lengthen over the bar line.
type laid struct {
	before state
	note   Note
	at     piece.At
}

// lay sets a note of a known length behind the one written last, over the bar line where
// it must.
func (m *Manuscript) lay(n Note) {
	i := m.At.Measure
	b := m.bar(i)
	k := m.At.Note + 1
	room := b.Due - b.filled()
	last := k == len(b.Notes) && (i+1 == len(m.Bars) || len(m.Bars[i+1].Notes) == 0)
	if b.Due == 0 || n.Length <= room || !last || room <= 0 || n.Tuplet.Actual > 0 {
		m.insert(piece.At{Measure: i, Note: k}, n)
		m.settle(i)
		return
	}
	left := n.Length - room
	from := b.filled() + m.upbeat(i)
	for _, sign := range writing.Signs(from, from+room, b.Time, n.Rest) {
		x := n
		x.Value, x.Dots, x.Tuplet, x.Length = sign.Value, sign.Dots, sign.Tuplet, sign.Length
		x.TieToNext = !n.Rest
		m.insert(piece.At{Measure: i, Note: m.At.Note + 1}, x)
	}
	m.settle(i)
	if i+1 == len(m.Bars) {
		m.add()
	}
	m.At = piece.At{Measure: i + 1, Note: -1}
	rest := n
	rest.Length, rest.Value, rest.Dots = left, "", 0
	all := writing.Signs(0, left, m.Bars[i+1].Time, n.Rest)
	for j, sign := range all {
		x := n
		x.Articulated.Fermata, x.Marks, x.Dynamics = false, piece.Marks{}, ""
		x.Value, x.Dots, x.Tuplet, x.Length = sign.Value, sign.Dots, sign.Tuplet, sign.Length
		x.TieToNext = !n.Rest && (j+1 < len(all) || n.TieToNext)
		m.lay(x)
	}
}

// upbeat is where in a whole measure a measure begins that is shorter.
func (m *Manuscript) upbeat(i int) piece.Ticks {
	b := m.Bars[i]
	return max(0, b.Time.Beat()*piece.Ticks(b.Time.Beats)-b.Due)
}

// insert sets a note at a place, and what it was played on and on which bow stays.
func (m *Manuscript) insert(a piece.At, n Note) {
	b := m.Bars[a.Measure]
	if !n.Rest {
		if n.MIDI == 0 {
			b.Notes = append(b.Notes[:a.Note:a.Note], append([]Note{n}, b.Notes[a.Note:]...)...)
			m.pitch(a, n.Spelling)
			m.At, m.From = a, a
			return
		}
	}
	b.Notes = append(b.Notes[:a.Note:a.Note], append([]Note{n}, b.Notes[a.Note:]...)...)
	m.At, m.From = a, a
}

// note is one of the page; nil where none stands.
func (m *Manuscript) note(a piece.At) *Note {
	if a.Measure < 0 || a.Measure >= len(m.Bars) || a.Note < 0 || a.Note >= len(m.Bars[a.Measure].Notes) {
		return nil
	}
	return &m.Bars[a.Measure].Notes[a.Note]
}

// settle works out anew what hangs on a measure's notes: where each begins, beams,
// accidentals and what the notes beside it say of bows.
func (m *Manuscript) settle(i int) {
	b := m.Bars[i]
	at := piece.Ticks(0)
	plain := make([]piece.Note, len(b.Notes))
	for k := range b.Notes {
		n := &b.Notes[k]
		n.Start, n.Beam, n.Accidental = at, "", ""
		at += n.Length
		if n.Rest {
			n.TieToNext, n.SlurTo, n.SlurFrom = false, false, false
		}
		plain[k] = n.Note
	}
	tied := false
	if i > 0 {
		if k := len(m.Bars[i-1].Notes); k > 0 {
			tied = m.Bars[i-1].Notes[k-1].TieToNext
		}
	}
	writing.Beams(plain, m.upbeat(i), b.Time)
	writing.Accidentals(plain, b.Key, tied)
	for k := range plain {
		b.Notes[k].Note = plain[k]
	}
	for _, j := range []int{i, i + 1} { // a slur over the bar line
		if j < len(m.Bars) {
			m.bind(j)
		}
	}
}

// bind says of each note whether the one before goes on to it.
func (m *Manuscript) bind(i int) {
	on := false
	if i > 0 {
		if k := len(m.Bars[i-1].Notes); k > 0 {
			on = m.Bars[i-1].Notes[k-1].SlurTo
		}
	}
	for k := range m.Bars[i].Notes {
		n := &m.Bars[i].Notes[k]
		if from := on && !n.Rest; from != n.SlurFrom {
			m.bar(i).Notes[k].SlurFrom = from
		}
		on = m.Bars[i].Notes[k].SlurTo
	}
}
