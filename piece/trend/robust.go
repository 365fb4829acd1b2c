package trend

import (
	"math"
	"sort"
)

// Median is the middle value, or the mean of the two in the middle; NaN of none.
func Median(x []float64) float64 {
	if len(x) == 0 {
		return math.NaN()
	}
	s := sorted(x)
	return (s[(len(s)-1)/2] + s[len(s)/2]) / 2
}

func sorted(x []float64) []float64 {
	s := append([]float64(nil), x...)
	sort.Float64s(s)
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
	return 1.4826 * Median(d)
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
	s := sorted(x)
	return s[r-1], s[len(s)-r], true
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
	return Median(means)
}
