package dsp

import "math"

// refine measures a period at the full rate, near a lag found on decimated
// sound. It correlates two stretches of the sound one or more periods apart,
// placed evenly about the frame's centre and no longer than the note needs, and
// interpolates the peak. Correlation is normalised by both energies, so a
// decaying note does not pull the lag. Where several periods fit in refineLag
// their sum is measured, and divided: that is finer by their number.
//
// It returns the frequency in Hz and the aperiodicity: one less the
// correlation over one period.
func refine(at func(from, n int) []float64, centre int, lag float64, rate int) (freq, aperiodicity float64, ok bool) {
	window := int(math.Max(lag, refineSpan*float64(rate)))
	one, peak, ok := correlationPeak(at, centre, lag, lag/refineReach, window)
	if !ok {
		return 0, 1, false
	}
	most := math.Floor(refineLag * float64(rate) / one)
	for periods := math.Min(2, most); periods > 1; periods = math.Min(2*periods, most) {
		// Going to twice the periods at a time, the peak is always the nearest.
		many, _, ok := correlationPeak(at, centre, one*periods, one/refineReachMany, window)
		if !ok {
			break
		}
		one = many / periods
		if periods == most {
			break
		}
	}
	return float64(rate) / one, math.Min(1, math.Max(0, 1-peak)), true
}

const (
	refineSpan = 0.025 // s: the stretch correlated, where a period is no longer
	refineLag  = 0.05  // s: the most that several periods take

	refineReach     = 8 // part of a lag that the peak may lie away from it
	refineReachMany = 3 // part of a period, where several are measured: the peak of the next lies a whole one away
)

// correlationPeak climbs from a lag to the nearest peak of the normalised
// correlation; it gives up when that is further away than most.
func correlationPeak(at func(from, n int) []float64, centre int, lag, most float64, window int) (peakLag, value float64, ok bool) {
	near := int(math.Round(lag))
	reach := max(2, int(most))
	start := centre - (window+near)/2
	x := at(start, window+near+reach+1)
	if x == nil {
		return 0, 0, false
	}
	a := x[:window]
	energy := dot(a, a)
	// The energy of the other stretch is summed once: from one lag to the next it
	// loses the sample at one end and wins one at the other.
	from := near - 1
	other := dot(x[from:from+window], x[from:from+window])
	corr := func(l int) float64 {
		for ; from < l; from++ {
			other += x[from+window]*x[from+window] - x[from]*x[from]
		}
		for ; from > l; from-- {
			other += x[from-1]*x[from-1] - x[from-1+window]*x[from-1+window]
		}
		e := energy * other
		if e <= 0 {
			return 0
		}
		return dot(a, x[l:l+window]) / math.Sqrt(e)
	}
	l, m, r := corr(near-1), corr(near), corr(near+1)
	for l > m || r > m {
		if r > l {
			near++
			l, m = m, r
			if r = 0; near+1 < len(x)-window {
				r = corr(near + 1)
			}
		} else {
			near--
			m, r = l, m
			l = corr(near - 1)
		}
		if math.Abs(float64(near)-lag) >= float64(reach) {
			return 0, 0, false
		}
	}
	d, value := parabola(l, m, r)
	return float64(near) + d, value, true
}

// dot is the sum of products; b is at least as long as a.
func dot[T float32 | float64](a, b []T) T {
	b = b[:len(a)]
	var s0, s1, s2, s3 T
	i := 0
	for ; i+4 <= len(a); i += 4 {
		s0 += a[i] * b[i]
		s1 += a[i+1] * b[i+1]
		s2 += a[i+2] * b[i+2]
		s3 += a[i+3] * b[i+3]
	}
	for ; i < len(a); i++ {
		s0 += a[i] * b[i]
	}
	return s0 + s1 + s2 + s3
}
