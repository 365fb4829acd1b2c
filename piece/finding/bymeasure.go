package finding

import (
	"cmp"
	"slices"

	"endpin/dsp"
	"endpin/piece"
)

// MeasureHeard is how one printed measure went in a take.
type MeasureHeard struct {
	Printed int    // its index in the piece
	Number  string // as printed
	Notes   int    // expected, all its passes together
	Heard   int    // of these, as written
	Told    int    // findings that cover it, those of the whole take left out
	Unsure  int    // notes heard without trust
}

// Judged reports whether enough of it was heard for certain to say how it went.
func (m MeasureHeard) Judged() bool { return 2*m.Unsure <= m.Notes }

// Reached reports whether the take came so far: something of it was heard, or is told.
func (m MeasureHeard) Reached() bool { return m.Heard > 0 || m.Told > 0 }

// NotesHeard counts the notes of the line that were heard.
func (h *Hearing) NotesHeard() (n int) {
	for i := range h.Notes {
		if x := &h.Notes[i]; x.State != StateExtra && x.Onset != nil {
			n++
		}
	}
	return n
}

// Judged reports whether enough of a take was heard for certain to say of it as a whole that
// nothing stood out.
func (h *Hearing) Judged(p *piece.Piece) bool {
	judged, all := 0, h.ByMeasure(p)
	for _, m := range all {
		if m.Judged() {
			judged++
		}
	}
	return !h.Doubted() && 2*judged >= len(all)
}

// Clean reports whether all its notes were heard as written and nothing was told of it.
func (m MeasureHeard) Clean() bool { return m.Told == 0 && m.Heard == m.Notes }

// ByMeasure tells how the measures of a piece went in which notes were expected, in
// their order.
func (h *Hearing) ByMeasure(p *piece.Piece) []MeasureHeard {
	index := make(map[string]int, len(p.Measures))
	for i := range p.Measures {
		if _, there := index[p.Measures[i].Number]; !there {
			index[p.Measures[i].Number] = i
		}
	}
	by := map[int]*MeasureHeard{}
	for i := range h.Notes {
		n := &h.Notes[i]
		if n.State == StateExtra {
			continue
		}
		m := by[index[n.Measure]]
		if m == nil {
			m = &MeasureHeard{Printed: index[n.Measure], Number: n.Measure}
			by[m.Printed] = m
		}
		m.Notes++
		if n.State == StatePlayed {
			m.Heard++
			if n.Trust == dsp.NotSure {
				m.Unsure++
			}
		}
	}
	all := make([]MeasureHeard, 0, len(by))
	for _, m := range by {
		for i := range h.Findings {
			f := &h.Findings[i]
			a, b := index[f.Measure], index[f.ToMeasure]
			if row := f.Kind.Row(); row.About != WholeTake && row.Weight > 0 && m.Printed >= min(a, b) && m.Printed <= max(a, b) {
				m.Told++
			}
		}
		all = append(all, *m)
	}
	slices.SortFunc(all, func(a, b MeasureHeard) int { return cmp.Compare(a.Printed, b.Printed) })
	return all
}
