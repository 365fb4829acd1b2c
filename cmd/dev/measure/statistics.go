package main

import (
	"math"
	"sort"
)

// quantile gives the q quantile (0..1) of values, linearly interpolated.
func quantile(values []float64, q float64) float64 {
	if len(values) == 0 {
		return math.NaN()
	}
	sorted := append([]float64(nil), values...)
	sort.Float64s(sorted)
	at := q * float64(len(sorted)-1)
	low := int(at)
	if low+1 >= len(sorted) || sorted[low] == sorted[low+1] || at == float64(low) {
		return sorted[low] // and no difference of infinities
	}
	return sorted[low] + (at-float64(low))*(sorted[low+1]-sorted[low])
}

func absolute(values []float64) []float64 {
	out := make([]float64, len(values))
	for i, v := range values {
		out[i] = math.Abs(v)
	}
	return out
}

func deviation(values []float64) float64 {
	if len(values) < 2 {
		return math.NaN()
	}
	mean, sum := 0.0, 0.0
	for _, v := range values {
		mean += v / float64(len(values))
	}
	for _, v := range values {
		sum += (v - mean) * (v - mean)
	}
	return math.Sqrt(sum / float64(len(values)-1))
}

// f1 joins precision and recall counted over all takes.
func f1(p, r float64) float64 {
	if p+r == 0 {
		return 0
	}
	return 2 * p * r / (p + r)
}
