package pace

import "endpin/dsp/robust"

// Stretch is a run of onsets that goes at one pace. Onset From is the first that goes at
// it, and To the first that does not any more; or the last of all.
type Stretch struct {
	From, To int
	Rate     float64 // s a nominal second: the median
}

// Stretches are the stretches between changes of pace, in order.
func Stretches(onsets []Onset, places []Place) []Stretch {
	var all []Stretch
	from := 0
	for k := 1; k <= len(places); k++ {
		if k == len(places) || places[k].Another {
			if to := k - 1; to > from {
				all = append(all, Stretch{from, to, rateOf(onsets, places, from, to)})
			}
			from = k - 1
		}
	}
	return all
}

// rateOf is the rate that half of the time between two onsets goes at or below.
func rateOf(onsets []Onset, places []Place, from, to int) float64 {
	var rates, lengths []float64
	for k := from + 1; k <= to; k++ {
		rates, lengths = append(rates, places[k-1].Rate), append(lengths, onsets[k].X-onsets[k-1].X)
	}
	return robust.WeightedMedian(rates, lengths)
}
