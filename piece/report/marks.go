package report

import (
	"math"
	"sort"

	"endpin/dsp"
	"endpin/piece"
	"endpin/piece/finding"
	"endpin/piece/report/paper"
	"endpin/piece/words"
)

// mark is a finding in its place: a shape, words and number, and a thin line
// down to the note.
type mark struct {
	X, Y                    px
	Shape                   string
	Text                    string
	TextX                   px
	Anchor                  string
	LeaderTop, LeaderBottom px
	ID                      string // of the finding in full
	Hollow                  bool   // not so sure
	row                     int
	from, to                float64 // what it takes of its row
}

const (
	markSize  = 11.0 // of the words
	markShape = 7.0  // from a shape's middle to its words
)

// place finds every finding of a panel its row, counted up from the lane, and
// gives how many rows there are. From right to left, so that the line down to a
// note seldom crosses the words of another mark.
func (s *score) place(p *panel) (rows int) {
	p.Marks = nil
	for i := range s.hearing.Findings {
		f := &s.hearing.Findings[i]
		for k, in := range s.marked[i] {
			if !p.meets(in[0], in[1]) {
				continue
			}
			m := mark{Shape: shape(f.Kind), Text: s.brief(f, s.hearing), ID: id(i), Hollow: f.Trust != dsp.Sure}
			if in[0] < p.from {
				m.Text = words.Say("report.mark.before", "mark", m.Text)
			} else if k == 0 { // it is printed where it is first
				p.Begins = true
			}
			p.Marks = append(p.Marks, s.set(p, m, max(in[0], p.from)))
		}
	}
	sort.SliceStable(p.Marks, func(a, b int) bool { return p.Marks[a].X > p.Marks[b].X })
	for i := range p.Marks {
		m := &p.Marks[i]
		for !free(p.Marks[:i], m) {
			m.row++
		}
		rows = max(rows, m.row+1)
	}
	return rows
}

// stretches are where a finding is marked: over what it covers, and at each of its places.
func (s *score) stretches(f *finding.Finding) (all [][2]piece.Ticks) {
	from, to, ok := s.stretch(f)
	if !ok {
		return nil
	}
	all = append(all, [2]piece.Ticks{from, to})
	for _, at := range f.Places {
		if b := s.bar(at.Measure, at.Pass); b >= 0 {
			from := s.tick(b, at.Beat)
			all = append(all, [2]piece.Ticks{from, from + 1})
		}
	}
	return all
}

// set puts a mark over its note: its words to the right, or to the left where
// the panel ends.
func (s *score) set(p *panel, m mark, at piece.Ticks) mark {
	x := p.x(float64(at)) + 5
	width := markShape + paper.TextWidth(m.Text, markSize)
	m.X, m.TextX, m.Anchor = px(x), px(x+markShape), "start"
	m.from, m.to = x-markShape, x+width
	if room := panelWidth - 2; m.to > room {
		if left := x - width; left >= 2 {
			m.TextX, m.Anchor = px(x-markShape), "end"
			m.from, m.to = left, x+markShape
		} else { // as long as the panel: let it end where the panel does
			m.Text = cut(m.Text, room-x-markShape)
			m.to = math.Min(m.to, room)
		}
	}
	return m
}

// cut shortens a text to a width.
func cut(s string, width float64) string {
	if paper.TextWidth(s, markSize) <= width {
		return s
	}
	columns := int(width/(0.61*markSize)) - 1
	if columns < 1 {
		return ""
	}
	head, _ := split(s, columns)
	return head + "…"
}

// free reports whether a mark's row has room for it beside those placed, and
// for the lines that come down through it.
func free(placed []mark, m *mark) bool {
	for i := range placed {
		o := &placed[i]
		x := float64(o.X)
		switch {
		case o.row == m.row && m.from < o.to+3 && o.from < m.to+3:
			return false
		case o.row > m.row && x > m.from-1 && x < m.to+1:
			return false
		}
	}
	return true
}

// standsOnAnother reports whether a mark for the same note lies below: one line
// down is enough.
func standsOnAnother(marks []mark, i int) bool {
	for j := range marks {
		if marks[j].row < marks[i].row && math.Abs(float64(marks[j].X-marks[i].X)) < 1 {
			return true
		}
	}
	return false
}
