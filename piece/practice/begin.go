package practice

import (
	"slices"

	"endpin/piece/outline"
	"endpin/piece/words"
)

// warming is how long a sitting begins with something easy, seconds. Common
// practice, no source.
const warming = 60

// begin is something easy to begin with: of the measures that nothing asks to work
// on, the longest run that a minute holds; of a piece without any, its easiest one.
func begin(o *outline.Outline, spots []spot) Item {
	easy := func(i int) bool {
		return o.Measures[i].Hardness < hard && !slices.ContainsFunc(spots, func(s spot) bool { return s.Holds(i) })
	}
	var best, run outline.Range
	for i := range o.Measures {
		if o.Measures[i].Hardness < o.Measures[best.First].Hardness {
			best = outline.Range{First: i, Last: i}
		}
	}
	longest, seconds := 0.0, 0.0
	for i := range o.Measures {
		m := &o.Measures[i]
		takes := m.Quarters * 60 / m.QPM
		switch {
		case !easy(i):
			seconds = 0
			continue
		case seconds == 0:
			run.First = i
		}
		run.Last = i
		for seconds += takes; seconds > warming && run.First < i; run.First++ {
			first := &o.Measures[run.First]
			seconds -= first.Quarters * 60 / first.QPM
		}
		if seconds > longest {
			longest, best = seconds, run
		}
	}
	q := o.Measures[best.First].QPM
	return Item{Range: best, Work: PlayAlone, TempoFrom: q, TempoTo: q, Reaches: q, Minutes: 1,
		said: []words.Sentence{inRange("practice.begin", o, best)}}
}
