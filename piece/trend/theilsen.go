package trend

import (
	"math"
	"slices"
)

// Fit is a robust line.
type Fit struct {
	Slope, Intercept float64
	Low, High        float64 // confidence interval of the slope
	P                float64 // two-sided, of no trend
}

// TheilSen fits a line through points as the median of the slopes of all pairs
// (Theil 1950), with Sen's interval for the confidence asked (Sen 1968, equation
// 2.6, his variance corrected for ties) and the two-sided probability of Kendall's
// test, which the interval inverts, with its continuity correction (Kendall 1975).
// It is false where no two points differ in x, or the interval lies beyond the
// slopes there are.
func TheilSen(x, y []float64, confidence float64) (Fit, bool) {
	slopes := make([]float64, 0, len(x)*(len(x)-1)/2)
	s := 0.0
	for i := range x {
		for j := i + 1; j < len(x); j++ {
			dx, dy := x[j]-x[i], y[j]-y[i]
			if dx == 0 {
				continue
			}
			slopes = append(slopes, dy/dx)
			s += sign(dx) * sign(dy)
		}
	}
	if len(slopes) == 0 {
		return Fit{}, false
	}
	slices.Sort(slopes)
	f := Fit{Slope: (slopes[(len(slopes)-1)/2] + slopes[len(slopes)/2]) / 2, P: 1}
	f.Intercept = Median(y) - f.Slope*Median(x)
	n := float64(len(x))
	variance := (n*(n-1)*(2*n+5) - tied(x) - tied(y)) / 18
	if variance <= 0 {
		return f, false
	}
	sd := math.Sqrt(variance)
	f.P = math.Erfc(math.Max(0, math.Abs(s)-1) / sd / math.Sqrt2)
	z := math.Sqrt2 * math.Erfinv(confidence)
	all := float64(len(slopes))
	up := int(math.Min(math.RoundToEven((all+z*sd)/2), all-1))
	low := int(math.Max(math.RoundToEven((all-z*sd)/2)-1, 0))
	f.Low, f.High = slopes[low], slopes[up]
	return f, (all-z*sd)/2 >= 0.5
}

// tied sums t(t-1)(2t+5) over the groups of equal values.
func tied(x []float64) float64 {
	s, sum := sorted(x), 0.0
	for i := 0; i < len(s); {
		j := i
		for j < len(s) && s[j] == s[i] {
			j++
		}
		t := float64(j - i)
		sum += t * (t - 1) * (2*t + 5)
		i = j
	}
	return sum
}

func sign(x float64) float64 {
	switch {
	case x > 0:
		return 1
	case x < 0:
		return -1
	}
	return 0
}
