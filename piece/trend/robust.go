package trend

import (
	"cmp"
	"math"
	"slices"
)

// Median is the middle value, or the mean of the two in the middle; NaN of none.
func Median(x []float64) float64 { return middle(append([]float64(nil), x...)) }

// middle is Median of values whose order it may change.
func middle(x []float64) float64 {
	if len(x) == 0 {
		return math.NaN()
	}
	k := len(x) / 2
	upper := choose(x, k)
	if len(x)%2 == 1 {
		return upper
	}
	return (slices.Max(x[:k]) + upper) / 2
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

func sorted(x []float64) []float64 {
	s := append([]float64(nil), x...)
	slices.Sort(s)
	return s
}

// Spread is the robust standard deviation: 1.4826 times the median absolute
// deviation from the median.
func Spread(x []float64) float64 {
	if len(x) < 2 {
		return 0
	}
	m := Median(x)
	d := make([]float64, len(x))
	for i, v := range x {
		d[i] = math.Abs(v - m)
	}
	return 1.4826 * middle(d)
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
	s := append([]float64(nil), x...)
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

// centre is the Hodges–Lehmann centre: the median of the means of all pairs.
// Nearly as sharp as the mean, and a single wild value does not pull it.
func centre(x []float64) float64 {
	if len(x) > 60 {
		return Median(x)
	}
	means := make([]float64, 0, len(x)*(len(x)+1)/2)
	for i := range x {
		for _, v := range x[i:] {
			means = append(means, (x[i]+v)/2)
		}
	}
	return middle(means)
}
