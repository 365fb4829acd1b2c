package timetable

import (
	"sort"

	"endpin/ui/desk/score"
)

// Silences knows the rests that are written, so that none of them is taken for
// the end of a take.
type Silences struct {
	onsets  []float64 // of the notes of a timetable, s
	Longest float64   // rest between two of them, s
}

// Silences are those of the notes that a timetable plays.
func (t *Timetable) Silences(s *score.Score) Silences {
	var x Silences
	end := -1.0
	t.Each(s, func(k int, at, quarter float64) {
		if end >= 0 {
			x.Longest = max(x.Longest, at-end)
		}
		x.onsets = append(x.onsets, at)
		end = at + s.Line[k].Length.Quarters()*quarter
	})
	return x
}

// After is when the next note is written after a time; that time itself where
// none is.
func (x *Silences) After(time float64) float64 {
	if i := sort.SearchFloat64s(x.onsets, time); i < len(x.onsets) {
		return x.onsets[i]
	}
	return time
}
