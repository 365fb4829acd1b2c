package finding

import (
	"math"
	"sort"

	"endpin/dsp"
)

// How much mending a kind of finding mends elsewhere (common practice, no
// source): first what is played by a wrong rhythm or a wrong hand, which every
// repetition engrains, then single notes.
var worth = map[Kind]float64{
	WrongRhythm: 5, SharpAfterShift: 4, FlatAfterShift: 4, NarrowHand: 4, WideHand: 4, Tuning: 4.5,
	WrongNote: 3, Missing: 2.5, HeldShort: 2.5, Late: 2, Early: 2, HeldLong: 1.5, Sharp: 1.5, Flat: 1.5,
	Extra: 1.5, Restarted: 1, Tempo: 2,
}

// weigh chooses the one or two findings most worth fixing first.
func (t *take) weigh() {
	order := Worth(t.hearing.Findings)
	t.hearing.WorthFixing = append([]int{}, order[:min(2, len(order))]...)
}

// Worth puts findings in the order in which they are worth fixing, as indexes;
// those that claim nothing are left out.
func Worth(f []Finding) []int {
	weight := func(x *Finding) float64 {
		w := worth[x.Kind]
		if x.Trust == dsp.Fair {
			w /= 2
		}
		return w * (1 + 0.1*math.Min(8, float64(x.Notes)))
	}
	var order []int
	for i := range f {
		if f[i].Trust != dsp.NotSure && weight(&f[i]) > 0 {
			order = append(order, i)
		}
	}
	sort.SliceStable(order, func(a, b int) bool { return weight(&f[order[a]]) > weight(&f[order[b]]) })
	return order
}
