package desk

import (
	"fmt"
	"math"
	"sort"

	"endpin/piece/finding"
)

// Beside is where the player stood beside the click, on the whole. Findings go by
// the beat that the player keeps, so that the sound card's delay is nothing to
// them; this one figure is against the click itself and needs it.
type Beside struct {
	Seconds  float64 // after the click; before it where negative
	Measured bool    // the delay of the two devices was; else it is fair at most
	Known    bool
}

const (
	leastBeside  = 6    // notes
	besideSpread = 0.12 // s, of the middle half, above which nobody stood anywhere
	withClick    = 0.04 // s, nearer than which one is with it: a bow takes as long to speak
)

// beside tells it of a take that was led.
func (s *Score) beside(t *Take, h *finding.Hearing) (b Beside) {
	if t.Click == nil {
		return b
	}
	w := Work{Way: t.Way, QPM: t.QPM, Last: len(s.Piece.Measures) - 1}
	if t.Measures != "" {
		var err error
		if w.First, w.Last, err = s.Piece.Select(t.Measures); err != nil {
			return b
		}
	}
	table := s.Timetable(w)
	at := map[place]float64{}
	s.each(table, func(k int, when, _ float64) {
		at[placeOf(s.Line[k].Number, s.Line[k].Pass, s.Line[k].Beat)] = when - table.Start
	})
	var late []float64
	for i := range h.Notes {
		n := &h.Notes[i]
		if when, ok := at[placeOf(n.Measure, n.Pass, n.Beat)]; ok && n.Onset != nil && n.State == finding.StatePlayed {
			late = append(late, *n.Onset-*t.Click-when)
		}
	}
	if len(late) < leastBeside {
		return b
	}
	sort.Float64s(late)
	q := func(share float64) float64 { return late[int(share*float64(len(late)-1)+0.5)] }
	if q(0.75)-q(0.25) > besideSpread || math.Abs(q(0.5)) > 30/t.QPM {
		return b // not at the click's tempo, or at another beat
	}
	return Beside{Seconds: q(0.5), Measured: t.Delay == DelayMeasured, Known: true}
}

type place struct {
	measure string
	pass    int
	beat    int
}

func placeOf(measure string, pass int, beat float64) place {
	return place{measure, pass, int(math.Round(1000 * beat))}
}

// Say is the one sentence, empty where nothing is known.
func (b Beside) Say() string {
	if !b.Known {
		return ""
	}
	ms, where := 10*math.Round(100*math.Abs(b.Seconds)), "behind"
	if b.Seconds < 0 {
		where = "ahead of"
	}
	said := fmt.Sprintf("On the whole %.0f ms %s the click", ms, where)
	if math.Abs(b.Seconds) < withClick {
		said = "On the whole with the click"
	}
	if !b.Measured {
		said += ", as far as the sound card tells"
	}
	return said + "."
}
