package report

import (
	"math"
	"slices"

	"endpin/piece"
	"endpin/piece/finding"
	"endpin/piece/words"
)

// music is the piece as it was played: the measures that the take is about, in
// order, and where in them a note or a finding stands.
type music struct {
	piece *piece.Piece
	notes []piece.Expected
	bars  []bar
	index map[spot]int   // into bars, by printed number; the first of equals
	exact map[[2]int]int // into bars, by measure of the piece and pass
	times map[string]int // how often a printed number comes round
	heard [2]int         // the first and the last measure of which anything was heard
	paper bool           // it is told on a page, not on a terminal
}

// bar is one measure, one time round.
type bar struct {
	piece.PlayedMeasure
	Number string
	Length piece.Ticks
	Beat   piece.Ticks
	notes  []int // indexes into the line; none in a measure of rest
}

type spot struct {
	number string
	pass   int
}

// lay lays the piece out along the line. The take is about the measures from
// the first to the last of which the hearing knows a note; of all where it
// knows none.
func lay(p *piece.Piece, line []piece.Expected, h *finding.Hearing) *music {
	m := &music{piece: p, notes: line, index: map[spot]int{}, exact: map[[2]int]int{}, times: map[string]int{}}
	_, played := p.Line()
	known := map[spot]bool{}
	for i := range h.Notes {
		known[spot{h.Notes[i].Measure, h.Notes[i].Pass}] = true
	}
	first, last := 0, len(played)-1
	isKnown := func(i int) bool { return known[spot{p.Measures[played[i].Measure].Number, played[i].Pass}] }
	for len(known) > 0 && first < last && !isKnown(first) {
		first++
	}
	for len(known) > 0 && first < last && !isKnown(last) {
		last--
	}
	if len(known) > 0 && first <= last && !isKnown(first) { // another piece's notes: show all
		first, last = 0, len(played)-1
	}
	sounding := map[[2]int][]int{}
	for i := range line {
		in := [2]int{line[i].Measure, line[i].Pass}
		sounding[in] = append(sounding[in], i)
	}
	for i := first; i <= last; i++ {
		pm := played[i]
		printed := &p.Measures[pm.Measure]
		at := spot{printed.Number, pm.Pass}
		if _, there := m.index[at]; !there {
			m.index[at] = len(m.bars)
		}
		m.exact[[2]int{pm.Measure, pm.Pass}] = len(m.bars)
		m.times[printed.Number] = max(m.times[printed.Number], pm.Pass)
		m.bars = append(m.bars, bar{PlayedMeasure: pm, Number: printed.Number, Length: printed.Length,
			Beat: printed.Time.Beat(), notes: sounding[[2]int{pm.Measure, pm.Pass}]})
	}
	m.heard = m.ends(h)
	return m
}

// ends gives the first and the last measure of which anything was heard; all
// where nothing was.
func (m *music) ends(h *finding.Hearing) [2]int {
	ends := [2]int{len(m.bars) - 1, 0}
	for i := range h.Notes {
		if b := m.barOf(&h.Notes[i]); b >= 0 && h.Notes[i].Onset != nil {
			ends = [2]int{min(ends[0], b), max(ends[1], b)}
		}
	}
	if ends[0] > ends[1] {
		return [2]int{0, len(m.bars) - 1}
	}
	return ends
}

// bar finds a measure by its printed number and the time it comes round; none is -1.
func (m *music) bar(number string, pass int) int {
	for _, p := range []int{pass, 1} {
		if i, ok := m.index[spot{number, p}]; ok {
			return i
		}
	}
	for i := range m.bars {
		if m.bars[i].Number == number {
			return i
		}
	}
	return -1
}

// barOf finds the measure that a note stands in: by its place in the line where
// that is the line the piece was laid along, for printed numbers need not be
// unlike; none is -1.
func (m *music) barOf(n *finding.Note) int {
	if b := m.barAt(n.Line, n.Measure, n.Pass); b >= 0 {
		return b
	}
	return m.indexed(n.Measure, n.Pass)
}

func (m *music) barAt(line int, number string, pass int) int {
	if line < 0 || line >= len(m.notes) || m.notes[line].Number != number || m.notes[line].Pass != pass {
		return -1
	}
	if b, ok := m.exact[[2]int{m.notes[line].Measure, pass}]; ok {
		return b
	}
	return -1
}

func (m *music) indexed(number string, pass int) int {
	if b, ok := m.index[spot{number, pass}]; ok {
		return b
	}
	return -1
}

// span gives the measures that a finding is about, both ends included, as far as they are
// the take's; -1 where none of them is.
func (m *music) span(f *finding.Finding) (from, to int) {
	if from = m.barAt(f.First, f.Measure, f.Pass); from < 0 {
		from = m.bar(f.Measure, f.Pass)
	}
	first, last := m.printed(f.Measure), m.printed(f.ToMeasure)
	for b := 0; from < 0 && b < len(m.bars); b++ { // it begins before what was asked for
		if at := m.bars[b].Measure; first >= 0 && first < at && at <= last {
			from = b
		}
	}
	if from < 0 {
		return -1, -1
	}
	for to = from; to < len(m.bars); to++ {
		if m.bars[to].Number == f.ToMeasure {
			return from, to
		}
	}
	if to = from; last > m.bars[len(m.bars)-1].Measure { // it ends after
		to = len(m.bars) - 1
	}
	return from, to
}

// printed is the measure of the piece that first bears a number; -1 for none.
func (m *music) printed(number string) int {
	return slices.IndexFunc(m.piece.Measures, func(x piece.Measure) bool { return x.Number == number })
}

// whole reports whether a finding is about the take and not about a place in
// it: its tempo, its tuning, or how the hand lies in most of it.
func (m *music) whole(f *finding.Finding) bool {
	if len(m.bars) == 0 {
		return true
	}
	switch from, to := m.span(f); f.Kind.Row().About {
	case finding.WholeTake:
		return from < 0 || f.Measure == m.bars[m.heard[0]].Number && f.ToMeasure == m.bars[m.heard[1]].Number
	case finding.OneNote: // the manner of the take
		return f.Notes > 1 && len(f.Places) == 0 && f.Measure != f.ToMeasure && from >= 0 && from <= m.heard[0] && to >= m.heard[1]
	case finding.Hand:
		return from < 0 || 2*(to-from+1) > m.heard[1]-m.heard[0]+1
	}
	return false
}

// tick is a moment of the music, counted along the measures as played.
func (m *music) tick(bar int, beat float64) piece.Ticks {
	b := &m.bars[bar]
	return b.Onset + piece.Ticks(math.Round((beat-1)*float64(b.Beat)))
}

// note finds the note written at a beat; nil where none begins there.
func (m *music) note(bar int, beat float64) *piece.Expected {
	if bar < 0 {
		return nil
	}
	for _, i := range m.bars[bar].notes {
		if math.Abs(m.notes[i].Beat-beat) < 0.01 {
			return &m.notes[i]
		}
	}
	return nil
}

// written is what a note of the hearing is in the line; nil where it is not in it.
func (m *music) written(n *finding.Note) *piece.Expected {
	if n.Line >= 0 && n.Line < len(m.notes) && m.notes[n.Line].Number == n.Measure && math.Abs(m.notes[n.Line].Beat-n.Beat) < 0.01 {
		return &m.notes[n.Line]
	}
	return m.note(m.barOf(n), n.Beat)
}

// of finds the note that a finding is about.
func (m *music) of(f *finding.Finding) *piece.Expected {
	return m.note(m.bar(f.Measure, f.Pass), f.Beat)
}

// name is a note as it is printed, without its octave.
func (m *music) name(n *piece.Expected) words.Note {
	if n.Measure < len(m.piece.Measures) && n.Note < len(m.piece.Measures[n.Measure].Notes) {
		if s := m.piece.Measures[n.Measure].Notes[n.Note].Spelling; s.Step != "" {
			return words.Note{Step: s.Step, Alter: max(-2, min(s.Alter, 2))}
		}
	}
	return m.pitchName(n.MIDI, n.Measure)
}

// pitchName names a pitch in a measure's key.
func (m *music) pitchName(midi, measure int) words.Note {
	flats := measure >= 0 && measure < len(m.piece.Measures) && m.piece.Measures[measure].Key.Fifths < 0
	n := words.PitchClass(midi)
	switch {
	case n.Alter < 0 && !flats:
		return words.Note{Step: map[string]string{"E": "D", "A": "G", "B": "A"}[n.Step], Alter: 1}
	case n.Alter > 0 && flats:
		return words.Note{Step: map[string]string{"C": "D", "F": "G"}[n.Step], Alter: -1}
	}
	return n
}
