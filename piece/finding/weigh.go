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

// Weight says how much a finding is worth fixing: 2 is about one late note, 0
// claims nothing.
func (f *Finding) Weight() float64 {
	w := worth[f.Kind]
	if f.Unplayed {
		return 0
	}
	switch f.Trust {
	case dsp.Fair:
		w /= 2
	case dsp.NotSure:
		return 0
	}
	return w * (1 + 0.1*math.Min(8, float64(f.Notes)))
}

// Worth puts findings in the order in which they are worth fixing, as indexes;
// those that claim nothing are left out.
func Worth(f []Finding) []int {
	var order []int
	for i := range f {
		if f[i].Weight() > 0 {
			order = append(order, i)
		}
	}
	sort.SliceStable(order, func(a, b int) bool { return f[order[a]].Weight() > f[order[b]].Weight() })
	return order
}
