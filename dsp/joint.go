package dsp

import "math"

const (
	jointTop      = 2.2  // times the highest pitch sought, up to which partials are taken along: the band lets them through
	jointPartials = 20   // of one pitch at most: above them a string has little
	jointDistinct = 0.6  // of the resolution of a stretch, 1/T Hz: partials nearer than this are one
	jointLeast    = 0.06 // s that a stretch must hold
	jointRidge    = 1e-6 // of a partial's own power: what nearly coincides is not told apart by the last digits
)

// Explained is how well the partials of some pitches (MIDI numbers), each at the
// amplitude and phase that fit best, explain the sound between two moments, s: harmonic
// least squares, and its cost by the Bayesian information criterion (M. G. Christensen
// and A. Jakobsson, "Multi-Pitch Estimation", 2009). Of two sets of pitches the one
// with the lesser cost explains the stretch better, its number of partials weighed in.
// left is the share of the power that no partial explains. Both are NaN where the sound
// was not kept, or the stretch is too short.
func (h *Heard) Explained(from, to float64, pitches ...float64) (cost, left float64) {
	a, b := int(from*h.bandRate), int(to*h.bandRate)
	if a < 0 || b > len(h.band) || to-from < jointLeast {
		return math.NaN(), math.NaN()
	}
	j := newJoint(h.band[a:b], h.bandRate, h.bandTop, pitches)
	if left = j.left(); math.IsNaN(left) {
		return left, left
	}
	independent := h.bandTop * (to - from) // numbers that a Hann window leaves of the band's 2BT
	return independent*math.Log(left+1e-6) + float64(2*len(j.steps))*math.Log(independent), left
}

// joint is one stretch of sound, windowed, and the partials that are to explain it.
type joint struct {
	x     []float64 // the sound through a Hann window
	power float64
	steps []float64 // phase of each partial from one sample to the next
}

func newJoint(sound []int16, rate, top float64, pitches []float64) *joint {
	j := &joint{x: make([]float64, len(sound))}
	turn := 2 * math.Pi / float64(len(sound))
	for i, v := range sound {
		j.x[i] = (0.5 - 0.5*math.Cos(turn*(float64(i)+0.5))) * float64(v)
		j.power += j.x[i] * j.x[i]
	}
	near := jointDistinct * turn
	for _, p := range pitches {
		step := 2 * math.Pi * ReferenceA * math.Exp2((p-69)/12) / rate
	partials:
		for k := 1.0; k <= jointPartials; k++ {
			at := k * step
			if at > 2*math.Pi*top/rate {
				break
			}
			for _, other := range j.steps {
				if math.Abs(other-at) < near {
					continue partials
				}
			}
			j.steps = append(j.steps, at)
		}
	}
	return j
}

// left is the share of the power outside the span of the partials, by the normal
// equations: what is explained is the square of L⁻¹y, where LLᵀ is the Gram matrix.
func (j *joint) left() float64 {
	k := 2 * len(j.steps)
	if j.power == 0 || k == 0 || k >= len(j.x)/2 {
		return math.NaN()
	}
	g := make([]float64, k*k)
	y := make([]float64, k)
	for p, a := range j.steps {
		y[2*p], y[2*p+1] = j.project(a)
		for q, b := range j.steps[:p+1] {
			minus, plus := j.window(a-b), j.window(a+b)
			// cos·cos, cos·sin, sin·cos, sin·sin of a and b, weighted by the squared window
			g[2*p*k+2*q], g[(2*p+1)*k+2*q+1] = (real(plus)+real(minus))/2, (real(minus)-real(plus))/2
			g[2*p*k+2*q+1], g[(2*p+1)*k+2*q] = (imag(plus)-imag(minus))/2, (imag(plus)+imag(minus))/2
		}
	}
	explained := 0.0
	for r := range k {
		row := g[r*k : r*k+r+1]
		row[r] *= 1 + jointRidge
		for c := 0; c <= r; c++ {
			s := row[c] - dot(row[:c], g[c*k:c*k+c])
			if c < r {
				row[c] = s / g[c*k+c]
			} else {
				row[r] = math.Sqrt(math.Max(s, 1e-12))
			}
		}
		y[r] = (y[r] - dot(row[:r], y[:r])) / row[r]
		explained += y[r] * y[r]
	}
	return math.Max(0, 1-explained/j.power)
}

// project is the sound along a partial's cosine and sine, both windowed.
func (j *joint) project(step float64) (c, s float64) {
	turn := 2 * math.Pi / float64(len(j.x))
	z, w := complex(1, 0), cis(turn/2)
	dz, dw := cis(step), cis(turn)
	for _, v := range j.x {
		v *= 0.5 - 0.5*real(w)
		c, s = c+v*real(z), s+v*imag(z)
		z, w = z*dz, w*dw
	}
	return c, s
}

// window is the sum of w²(n)·e^(iθn) for a Hann window w.
func (j *joint) window(theta float64) complex128 {
	turn := 2 * math.Pi / float64(len(j.x))
	half := cis(turn / 2)
	first, second := half, half*half
	sum := 0.375*j.geometric(theta) - 0.25*(first*j.geometric(theta+turn)+conj(first)*j.geometric(theta-turn)) +
		0.0625*(second*j.geometric(theta+2*turn)+conj(second)*j.geometric(theta-2*turn))
	return sum
}

// geometric is the sum of e^(iθn) over the stretch.
func (j *joint) geometric(theta float64) complex128 {
	n := float64(len(j.x))
	s := math.Sin(theta / 2)
	if math.Abs(s) < 1e-9 {
		return complex(n, 0)
	}
	return cis(theta*(n-1)/2) * complex(math.Sin(theta*n/2)/s, 0)
}

func cis(phase float64) complex128 {
	sin, cos := math.Sincos(phase)
	return complex(cos, sin)
}

func conj(z complex128) complex128 { return complex(real(z), -imag(z)) }
