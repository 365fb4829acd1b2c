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
	if t.Click == nil {
		return b
	}
	w := work.Work{Way: t.Way, QPM: t.QPM, Last: len(s.Piece.Measures) - 1}
	if t.Measures != "" {
		var err error
		if w.First, w.Last, err = s.Piece.Select(t.Measures); err != nil {
			return b
		}
	}
	table := timetable.New(s, w)
	at := map[place]float64{}
	table.Each(s, func(k int, when, _ float64) {
		at[placeOf(s.Line[k].Number, s.Line[k].Pass, s.Line[k].Beat)] = when - table.Start
	})
	due := func(n *finding.Note) (float64, bool) {
		when, ok := at[placeOf(n.Measure, n.Pass, n.Beat)]
		return *t.Click + when, ok
	}
	return h.ClickOffset(due, t.QPM, t.Delay == DelayMeasured)
}

type place struct {
	measure string
	pass    int
	beat    int
}

func placeOf(measure string, pass int, beat float64) place {
	return place{measure, pass, int(math.Round(1000 * beat))}
}
