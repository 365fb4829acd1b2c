package robust

import (
	"cmp"
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
	slopes := Slopes(make([]float64, 0, len(x)*(len(x)-1)/2), x, y, 1)
	if len(slopes) == 0 {
		return Fit{}, false
	}
	s := 0.0 // Kendall's: pairs that rise less pairs that fall
	for _, v := range slopes {
		s += float64(cmp.Compare(v, 0))
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

// Slope is the median of the slopes between points at least half their number
// apart (after Theil and Sen: those of near points say more of their scatter); NaN
// where no two differ in x.
func Slope(x, y []float64) float64 { return MedianOf(Slopes(nil, x, y, len(x)/2)) }

// Slopes appends the slopes between all points at least so many places apart that
// differ in x.
func Slopes(to, x, y []float64, apart int) []float64 {
	for i := range x {
		for j := i + apart; j < len(x); j++ {
			if dx := x[j] - x[i]; dx != 0 {
				to = append(to, (y[j]-y[i])/dx)
			}
		}
	}
	return to
}

// tied sums t(t-1)(2t+5) over the groups of equal values.
func tied(x []float64) float64 {
	s, sum := slices.Sorted(slices.Values(x)), 0.0
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
