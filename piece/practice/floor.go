package practice

import (
	"math"

	"endpin/piece/outline"
	"endpin/piece/words"
)

// Floor is the slowest tempo at which every bow of a range still lasts, in
// quarter notes a minute, and why in one sentence; 0 where nothing forbids.
// A bow of q quarter notes lasts 60·q/tempo seconds, and that is at most what
// the bow's length gives on its string.
func Floor(o *outline.Outline, r outline.Range) (qpm float64, why string) {
	for k := range o.Strokes {
		s := &o.Strokes[k]
		first, last := &o.Line[s.First], &o.Line[s.Last]
		if !r.Holds(first.Measure) && !r.Holds(last.Measure) {
			continue
		}
		limit := o.Bow.Limit(s.Low)
		if limit <= 0 {
			continue
		}
		if least := 60 * s.Length.Quarters() / limit; least > qpm {
			qpm = least
			key := "practice.long-bow"
			if s.Last > s.First {
				key = "practice.long-slur"
			}
			if s.Low {
				key += ".low"
			}
			why = words.Say(key, "measure", first.Number, "quarters", words.Significant(s.Length.Quarters(), 3), "seconds", words.Significant(limit, 3))
		}
	}
	return math.Ceil(qpm - 1e-9), why
}

// floorsOf is each measure's floor by itself; 0 where nothing forbids.
func floorsOf(o *outline.Outline) []float64 {
	all := make([]float64, len(o.Measures))
	for k := range o.Strokes {
		s := &o.Strokes[k]
		limit := o.Bow.Limit(s.Low)
		if limit <= 0 {
			continue
		}
		least := math.Ceil(60*s.Length.Quarters()/limit - 1e-9)
		for _, m := range []int{o.Line[s.First].Measure, o.Line[s.Last].Measure} {
			all[m] = math.Max(all[m], least)
		}
	}
	return all
}
