package practice

import (
	"endpin/piece/outline"
	"endpin/piece/words"
)

// recurs is how often a shift must come in a piece to be worth a drill of its own (common
// practice, no source).
const recurs = 3

// drilled proposes to drill the first shift in a range that comes again and again in the
// piece, between the same positions on the same string, by its measure; "" where there is
// none.
func drilled(o *outline.Outline, r outline.Range) (measure string, why words.Sentence) {
	type way struct {
		from, to string
		str      int
	}
	of := func(s *outline.Shift) way { return way{s.From, s.To, s.String} }
	times := map[way]int{}
	for i := range o.Shifts {
		times[of(&o.Shifts[i])]++
	}
	for i := range o.Shifts {
		s := &o.Shifts[i]
		if n := times[of(s)]; n >= recurs && within(o, r, s.Measure) {
			return s.Measure, words.Of("practice.drill", "measure", s.Measure, "times", n)
		}
	}
	return "", words.Sentence{}
}

// within reports whether a measure lies in a range.
func within(o *outline.Outline, r outline.Range, measure string) bool {
	for i := r.First; i <= r.Last; i++ {
		if o.Measures[i].Number == measure {
			return true
		}
	}
	return false
}
