package dsp

import "math"

// candidate is one possible period in one frame.
type candidate struct {
	lag  float64 // decimated samples, interpolated
	dip  float64 // normalised difference there: 0 periodic .. 1 noise
	freq float64 // Hz
	cost float64 // of taking it, before what lies beside it in time is looked at
}

// A dip at a multiple of a period is as deep as the one at the period, and
// where sympathetic strings ring below a note it is deeper. So each octave
// lower has to be this much deeper; and this much more above the frequency
// where a bass begins to radiate its fundamental, below which a weak
// fundamental makes the octave above the note look likely. Tuned on the recorded
// notes of testdata/figures/pitch.md.
const (
	octaveCost        = 0.03
	highOctaveCost    = 0.05
	strongFundamental = 100 // Hz
)

func (y *yin) cost(dip, freq float64) float64 {
	return dip + octaveCost*math.Log2(y.high/freq) + highOctaveCost*math.Log2(y.high/math.Max(freq, strongFundamental))
}

const (
	maxCandidates    = 6     // of a frame: the note, what rings beside it, and their octaves
	shallowest       = 0.8   // normalised difference: a shallower dip is noise
	silentDifference = 1e-18 // of squares, a sample: what rounding leaves of silence
)

// yin finds candidate periods as A. de Cheveigné and H. Kawahara describe in
// "YIN, a fundamental frequency estimator for speech and music", J. Acoust.
// Soc. Am. 111(4), 2002: difference function (step 2), cumulative mean
// normalisation (step 3), minima (in place of the absolute threshold of step 4
// every dip is kept, and viterbi chooses among them over time), parabolic
// interpolation (step 5). The best local estimate (step 6) is left to viterbi.
type yin struct {
	rate           float64 // decimated, samples a second
	high           float64 // Hz
	minLag, maxLag int
	window         int // integration window: no shorter than the longest period
	correlation    *correlation
	cum            []float64 // running sum of squares
	diff           []float64
}

// newYin seeks in frames that follow each other by hop, at a decimated rate.
func newYin(c Config, rate float64, hop int) *yin {
	y := &yin{rate: rate, high: c.High}
	y.minLag = max(2, int(rate/c.High))
	y.maxLag = int(math.Ceil(rate/c.Low)) + 1
	y.window = y.maxLag
	y.correlation = newCorrelation(y.window, hop, y.maxLag)
	y.cum = make([]float64, y.span()+1)
	y.diff = make([]float64, y.maxLag+1)
	return y
}

// span is how many decimated samples one frame takes.
func (y *yin) span() int { return y.window + y.maxLag }

// candidates finds those of a frame of span() samples, which begins a hop after the
// last one, and appends them to out.
func (y *yin) candidates(x []float64, out []candidate) []candidate {
	for i, v := range x {
		y.cum[i+1] = y.cum[i] + v*v
	}
	d, corr := y.diff, y.correlation.next(x)
	w := y.window
	sum, e0 := 0.0, y.cum[w]
	d[0] = 1
	for lag := 1; lag <= y.maxLag; lag++ {
		v := e0 + y.cum[lag+w] - y.cum[lag] - 2*corr[lag]
		if v < 0 {
			v = 0
		}
		sum += v
		if sum <= silentDifference*float64(w) {
			d[lag] = 1 // silence: nothing repeats
		} else {
			d[lag] = v * float64(lag) / sum
		}
	}
	for lag := y.minLag; lag < y.maxLag; lag++ {
		l, m, r := d[lag-1], d[lag], d[lag+1]
		if m > shallowest || l < m || r <= m {
			continue
		}
		at, dip := parabola(l, m, r)
		c := candidate{lag: float64(lag) + at, dip: math.Max(0, dip)}
		c.freq = y.rate / c.lag
		c.cost = y.cost(c.dip, c.freq)
		out = insert(out, c)
	}
	return out
}

// insert keeps the maxCandidates cheapest, cheapest first.
func insert(c []candidate, n candidate) []candidate {
	i := len(c)
	for i > 0 && n.cost < c[i-1].cost {
		i--
	}
	if i == maxCandidates {
		return c
	}
	if len(c) < maxCandidates {
		c = append(c, n)
	}
	copy(c[i+1:], c[i:])
	c[i] = n
	return c
}

// parabola gives the place, in samples from the middle one, and the value of
// the extremum of the parabola through three equidistant values.
func parabola(l, m, r float64) (at, value float64) {
	curve := l - 2*m + r
	if curve == 0 {
		return 0, m
	}
	at = (l - r) / (2 * curve)
	return at, m - (l-r)*at/4
}
