package dsp

import (
	"math"

	"github.com/mjibson/go-dsp/fft"
)

// Go-dsp starts goroutines for every transform; with one worker they stay in
// step. The size is an unguarded global of that package: set here, once.
func init() { fft.SetWorkerPoolSize(1) }

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
// fundamental makes the octave above the note look likely.
const (
	octaveCost        = 0.03
	highOctaveCost    = 0.05
	strongFundamental = 100 // Hz
)

func (y *yin) cost(dip, freq float64) float64 {
	return dip + octaveCost*math.Log2(y.high/freq) + highOctaveCost*math.Log2(y.high/math.Max(freq, strongFundamental))
}

const maxCandidates = 6

// yin finds candidate periods as A. de Cheveigné and H. Kawahara describe in
// "YIN, a fundamental frequency estimator for speech and music", J. Acoust.
// Soc. Am. 111(4), 2002: difference function (step 2), cumulative mean
// normalisation (step 3), minima (in place of the absolute threshold of step 4
// every dip is kept, and path chooses among them over time), parabolic
// interpolation (step 5). The best local estimate (step 6) is left to path.
type yin struct {
	rate           float64 // decimated, samples a second
	high           float64 // Hz
	minLag, maxLag int
	window         int // integration window: no shorter than the longest period
	size           int // of the transform
	packed         []complex128
	spectra        [2][]complex128 // cross-spectra of the two frames, from 0 to half the rate
	cross          []complex128
	corr           []float64
	cum            []float64 // running sum of squares
	diff           []float64
}

func newYin(c Config, rate float64) *yin {
	y := &yin{rate: rate, high: c.High}
	y.minLag = max(2, int(rate/c.High))
	y.maxLag = int(math.Ceil(rate/c.Low)) + 1
	y.window = y.maxLag
	y.size = 1
	for y.size < y.span() {
		y.size *= 2
	}
	y.packed = make([]complex128, y.size)
	for i := range y.spectra {
		y.spectra[i] = make([]complex128, y.size/2+1)
	}
	y.cross = make([]complex128, y.size)
	y.corr = make([]float64, y.maxLag+1)
	y.cum = make([]float64, y.span()+1)
	y.diff = make([]float64, y.maxLag+1)
	return y
}

// span is how many decimated samples one frame takes.
func (y *yin) span() int { return y.window + y.maxLag }

// pair finds the candidates of two frames at once: the cross-correlations that
// the difference functions need are real, so both come back from one inverse
// transform. Each frame holds span() samples.
func (y *yin) pair(a, b []float64, into *[2][]candidate) {
	y.correlate(a, y.spectra[0])
	y.correlate(b, y.spectra[1])
	// One becomes the real part and one the imaginary. The spectrum of a real
	// signal is the same above half the rate, conjugated.
	for k, p := range y.spectra[0] {
		q := y.spectra[1][k]
		y.cross[k] = complex(real(p)-imag(q), imag(p)+real(q))
		if k > 0 {
			y.cross[y.size-k] = complex(real(p)+imag(q), real(q)-imag(p))
		}
	}
	// The inverse transform of X is the conjugate of the transform of the
	// conjugate of X; conjugating is folded into correlate and the reading below.
	r := fft.FFT(y.cross)
	scale := 1 / float64(y.size)
	for lag := range y.corr {
		y.corr[lag] = real(r[lag]) * scale
	}
	into[0] = y.candidates(a, into[0][:0])
	for lag := range y.corr {
		y.corr[lag] = imag(r[lag]) * scale
	}
	into[1] = y.candidates(b, into[1][:0])
}

// correlate gives the conjugated cross-spectrum of a frame's first window with
// the whole frame. Window and frame are two real signals and fit in one complex
// transform. Written out in real numbers: dividing complex ones takes a while.
func (y *yin) correlate(x []float64, into []complex128) {
	for i, v := range x[:y.window] {
		y.packed[i] = complex(v, v)
	}
	for i, v := range x[y.window:] {
		y.packed[y.window+i] = complex(0, v) // what lies beyond stays 0
	}
	z := fft.FFT(y.packed)
	for k := range into {
		zk, zm := z[k], z[(y.size-k)&(y.size-1)]
		// window = (zk + conj(zm)) / 2 and frame = (zk - conj(zm)) / 2i
		wr, wi := (real(zk)+real(zm))/2, (imag(zk)-imag(zm))/2
		fr, fi := (imag(zk)+imag(zm))/2, (real(zm)-real(zk))/2
		// conj(conj(window)·frame) = window·conj(frame): its transform is n·r.
		into[k] = complex(wr*fr+wi*fi, wi*fr-wr*fi)
	}
}

func (y *yin) candidates(x []float64, out []candidate) []candidate {
	for i, v := range x {
		y.cum[i+1] = y.cum[i] + v*v
	}
	d := y.diff
	w := y.window
	sum, e0 := 0.0, y.cum[w]
	d[0] = 1
	for lag := 1; lag <= y.maxLag; lag++ {
		v := e0 + y.cum[lag+w] - y.cum[lag] - 2*y.corr[lag]
		if v < 0 {
			v = 0
		}
		sum += v
		if sum <= 1e-18*float64(w) {
			d[lag] = 1 // silence: nothing repeats
		} else {
			d[lag] = v * float64(lag) / sum
		}
	}
	for lag := y.minLag; lag < y.maxLag; lag++ {
		l, m, r := d[lag-1], d[lag], d[lag+1]
		if m > 0.8 || l < m || r <= m {
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
