package manuscript

import (
	"slices"

	"endpin/piece"
	"endpin/piece/transcription"
)

// Heard takes up what was written down of a recording, with its doubts.
func Heard(w *transcription.Written, instrument string) *Manuscript {
	m := Of(w.Piece, instrument)
	for _, d := range w.Doubts {
		if a := (piece.At{Measure: d.At.Measure, Note: d.At.Note}); m.note(a) != nil {
			n := m.note(a)
			if n.Doubt == nil || n.Doubt.Chance < d.Chance {
				n.Doubt = &Doubt{string(d.About), d.Chance}
			}
		}
	}
	if a, is := m.doubtful(); is {
		m.Choose(a, false)
	}
	return m
}

// Doubts are the notes that somebody should settle, the most doubtful first.
func (m *Manuscript) Doubts() (all []piece.At) {
	for i, b := range m.Bars {
		for k := range b.Notes {
			if b.Notes[k].Doubt != nil {
				all = append(all, piece.At{Measure: i, Note: k})
			}
		}
	}
	slices.SortStableFunc(all, func(a, b piece.At) int {
		switch x, y := m.note(a).Doubt.Chance, m.note(b).Doubt.Chance; {
		case x > y:
			return -1
		case x < y:
			return 1
		}
		return 0
	})
	return all
}

func (m *Manuscript) doubtful() (piece.At, bool) {
	all := m.Doubts()
	if len(all) == 0 {
		return piece.At{}, false
	}
	return all[0], true
}

// Settle says that the notes chosen are right as they are, and goes to what is most
// doubtful then. Where none of them is in doubt it only goes there.
func (m *Manuscript) Settle() {
	m.each(true, func(_ piece.At, n *Note) { n.Doubt = nil })
	if a, is := m.doubtful(); is {
		m.Choose(a, false)
	}
}
