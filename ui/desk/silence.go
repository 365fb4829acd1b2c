package desk

import "sort"

// silences knows the rests that are written, so that none of them is taken for
// the end of a take.
type silences struct {
	onsets  []float64 // of the notes of a timetable, s
	longest float64   // rest between two of them, s
}

// silences are those of the notes that a timetable plays.
func (t Timetable) silences(s *Score) silences {
	var x silences
	end := -1.0
	t.each(s, func(k int, at, quarter float64) {
		if end >= 0 {
			x.longest = max(x.longest, at-end)
		}
		x.onsets = append(x.onsets, at)
		end = at + s.Line[k].Length.Quarters()*quarter
	})
	return x
}

// after is when the next note is written after a time; that time itself where
// none is.
func (x *silences) after(time float64) float64 {
	if i := sort.SearchFloat64s(x.onsets, time); i < len(x.onsets) {
		return x.onsets[i]
	}
	return time
}

// quiet is how long nobody has played though something was to be played, s: where
// the beat leads, from the next note on; else beyond the longest rest of these
// measures.
func (a *Attempt) quiet(now float64) float64 {
	if a.work.Way.Leads() {
		return now - a.began - a.silences.after(a.last-a.began)
	}
	if a.silences.longest > longRest {
		return now - a.last - a.silences.longest
	}
	return now - a.last
}

// longRest is a rest that is more than a breath, s.
const longRest = 1.5
