package report

import (
	"endpin/piece"
	"endpin/piece/engraving"
	"endpin/piece/finding"
)

// Meant are the notes that a finding is about, as they stand on the page; nil where it is
// about none that is written, or about what was done between notes.
func Meant(p *piece.Piece, h *finding.Hearing, f *finding.Finding) *engraving.Meant {
	line, _ := p.Line()
	m := lay(p, line, h)
	first, last := h.Covers(f)
	if first < 0 || f.Kind == finding.Extra || !f.Kind.Row().Marked() {
		return nil
	}
	if len(f.Places) > 0 { // it is drawn where it is first
		last = first
	}
	switch row := f.Kind.Row(); {
	case row.OffPitch() && (f.Notes > 1 || row.About == finding.HandFrame):
		last = held(h, first, last)
	case row.About == finding.OneNote:
		last = min(last, first+max(1, f.Notes)-1)
	}
	a, b := m.written(&h.Notes[first]), m.written(&h.Notes[last])
	if a == nil || b == nil {
		return nil
	}
	return &engraving.Meant{Measure: a.Measure, Note: a.Note, ToMeasure: b.Measure, ToNote: b.Note}
}

// held is the last note, at most up to another, that the hand holds the position of a note
// for; open strings between belong to none.
func held(h *finding.Hearing, first, last int) int {
	to := first
	for k := first; k <= last; k++ {
		switch n := &h.Notes[k]; {
		case n.State == finding.StateExtra || n.Finger == "0":
		case n.Position != h.Notes[first].Position:
			return to
		default:
			to = k
		}
	}
	return to
}
