package finding

import (
	"math"
	"sort"

	"endpin/dsp"
)

// weigh chooses the one or two findings most worth fixing first.
func (t *take) weigh() {
	order := Worth(t.hearing.Findings)
	t.hearing.WorthFixing = append([]int{}, order[:min(2, len(order))]...)
}

// Weight says how much a finding is worth fixing: 2 is about one late note, 0
// claims nothing.
func (f *Finding) Weight() float64 {
	w := f.Kind.Row().Weight
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
