package robust

import (
	"cmp"
	"math"
	"slices"
)

// Median is the middle value, or the mean of the two in the middle; NaN of none.
func Median(x []float64) float64 { return MedianOf(slices.Clone(x)) }

// MedianOf is Median of values whose order it may change.
func MedianOf(x []float64) float64 {
	if len(x) == 0 {
		return math.NaN()
	}
	k := len(x) / 2
	upper := choose(x, k)
	if len(x)%2 == 1 {
		return upper
	}
	return (slices.MaxFunc(x[:k], cmp.Compare[float64]) + upper) / 2
}

// choose puts the k-th smallest value in its place, the smaller ones before it,
// and gives it (Hoare 1961). NaN is smaller than any number, as in package sort.
func choose(x []float64, k int) float64 {
	for lo, hi := 0, len(x)-1; lo < hi; {
		if hi-lo < 12 {
			slices.Sort(x[lo : hi+1])
			break
		}
		a, b, c := x[lo], x[lo+(hi-lo)/2], x[hi]
		pivot := max(min(a, b), min(max(a, b), c))
		i, j := lo, hi
		for i <= j {
			for cmp.Less(x[i], pivot) {
				i++
			}
			for cmp.Less(pivot, x[j]) {
				j--
			}
			if i <= j {
				x[i], x[j] = x[j], x[i]
				i, j = i+1, j-1
			}
		}
		switch {
		case k <= j:
			hi = j
		case k >= i:
			lo = i
		default:
			return x[k]
		}
	}
	return x[k]
}

// PerDeviation is how many median absolute deviations a standard deviation is of
// what is normally distributed: one over the quantile of three quarters.
const PerDeviation = 1.4826

// Deviation is the median absolute deviation from a value; NaN of none.
func Deviation(x []float64, about float64) float64 {
	d := make([]float64, len(x))
	for i, v := range x {
		d[i] = math.Abs(v - about)
	}
	return MedianOf(d)
}

// Spread is the robust standard deviation, PerDeviation times the median absolute
// deviation from the median; 0 of none.
func Spread(x []float64) float64 { return SpreadAbout(x, Median(x)) }

// SpreadAbout is Spread about another value than the median.
func SpreadAbout(x []float64, about float64) float64 {
	if len(x) == 0 {
		return 0
	}
	return PerDeviation * Deviation(x, about)
}

// MedianInterval gives the narrowest symmetric pair of order statistics that
// holds the median of what x is drawn from with at least the confidence asked
// (the sign test turned round: David and Nagaraja, Order Statistics, 7.1). With
// too few values for it ok is false.
func MedianInterval(x []float64, confidence float64) (lo, hi float64, ok bool) {
	r := medianRank(len(x), confidence)
	if r == 0 {
		return 0, 0, false
	}
	s := slices.Clone(x)
	hi = choose(s, len(s)-r)
	return choose(s[:len(s)-r], r-1), hi, true
}

// medianRank is the rank from either end of the interval's ends, 0 for none:
// 1 - 2·P(B ≤ r-1) of a binomial of n and a half.
func medianRank(n int, confidence float64) int {
	rank, below := 0, 0.0
	for k := 0; k < n/2; k++ {
		a, _ := math.Lgamma(float64(n + 1))
		b, _ := math.Lgamma(float64(k + 1))
		c, _ := math.Lgamma(float64(n - k + 1))
		below += math.Exp(a - b - c - float64(n)*math.Ln2)
		if 1-2*below < confidence {
			break
		}
		rank = k + 1
	}
	return rank
}

// mostPaired is how many values Centre pairs: the pairs of more take long, and the
// median of so many is sharp enough.
const mostPaired = 60

// Centre is the Hodges–Lehmann centre: the median of the means of all pairs, nearly
// as sharp as the mean. Of more than 60 values it is the median.
func Centre(x []float64) float64 {
	if len(x) > mostPaired {
		return Median(x)
	}
	means := make([]float64, 0, len(x)*(len(x)+1)/2)
	for i := range x {
		for _, v := range x[i:] {
			means = append(means, (x[i]+v)/2)
		}
	}
	return MedianOf(means)
}

// Running takes the upper median of up to 2·reach+1 values about each. The values
// about one are sorted already, but for one that leaves and one that comes.
func Running(x []float64, reach int) []float64 {
	out := make([]float64, len(x))
	sorted := make([]float64, 0, 2*reach+2)
	come := func(v float64) {
		at, _ := slices.BinarySearch(sorted, v)
		sorted = slices.Insert(sorted, at, v)
	}
	for _, v := range x[:min(reach, len(x))] {
		come(v)
	}
	for i := range x {
		if i+reach < len(x) {
			come(x[i+reach])
		}
		if left := i - reach - 1; left >= 0 {
			at, _ := slices.BinarySearch(sorted, x[left])
			sorted = slices.Delete(sorted, at, at+1)
		}
		out[i] = sorted[len(sorted)/2]
	}
	return out
}

// WeightedMedian is a value at or below which half of the weight lies; NaN where there
// is none.
func WeightedMedian(x, weights []float64) float64 {
	order := make([]int, len(x))
	all := 0.0
	for i := range order {
		order[i] = i
		all += weights[i]
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Compare(x[a], x[b]) })
	sum := 0.0
	for _, i := range order {
		if sum += weights[i]; sum >= all/2 {
			return x[i]
		}
	}
	return math.NaN()
}
