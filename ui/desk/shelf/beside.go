package shelf

import (
	"math"

	"endpin/piece/finding"
	"endpin/ui/desk/score"
	"endpin/ui/desk/timetable"
	"endpin/ui/desk/work"
)

// Beside tells where the player of a take stood beside the click that led it.
func (t *Take) Beside(s *score.Score, h *finding.Hearing) (b finding.ClickOffset) {
	due := t.dueIn(s)
	if due == nil {
		return b
	}
	return h.ClickOffset(due, t.QPM, t.Delay == DelayMeasured)
}

// Early reports whether a take is the answer of an echo and most of what was heard of it lies
// more than half a beat before its turn.
func (t *Take) Early(s *score.Score, h *finding.Hearing) bool {
	due := t.dueIn(s)
	if t.Way != work.Echo || due == nil || t.QPM <= 0 {
		return false
	}
	early, all := 0, 0
	for i := range h.Notes {
		n := &h.Notes[i]
		if at, ok := due(n); ok && n.Onset != nil {
			if all++; *n.Onset < at-30/t.QPM {
				early++
			}
		}
	}
	return 2*early > all
}

// dueIn gives when notes of the take were due by the click that led it, s; nil where none did.
func (t *Take) dueIn(s *score.Score) func(*finding.Note) (float64, bool) {
	if t.Click == nil {
		return nil
	}
	w := work.Work{Way: t.Way, QPM: t.QPM, Last: len(s.Piece.Measures) - 1}
	if t.Measures != "" {
		var err error
		if w.First, w.Last, err = s.Piece.Select(t.Measures); err != nil {
			return nil
		}
	}
	table := timetable.New(s, w)
	at := map[place]float64{}
	table.Each(s, func(k int, when, _ float64) {
		at[placeOf(s.Line[k].Number, s.Line[k].Pass, s.Line[k].Beat)] = when - table.Start
	})
	return func(n *finding.Note) (float64, bool) {
		when, ok := at[placeOf(n.Measure, n.Pass, n.Beat)]
		return *t.Click + when, ok
	}
}

type place struct {
	measure string
	pass    int
	beat    int
}

func placeOf(measure string, pass int, beat float64) place {
	return place{measure, pass, int(math.Round(1000 * beat))}
}
