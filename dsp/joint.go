package dsp

import (
	"math"
	"slices"
)

const (
	jointTop      = 2.2  // times the highest pitch sought, up to which partials are taken along: the band lets them through
	jointPartials = 20   // of one pitch at most: above them a string has little
	jointDistinct = 0.6  // of the resolution of a stretch, 1/T Hz: partials nearer than this are one
	jointLeast    = 0.06 // s that a stretch must hold
	jointRidge    = 1e-6 // of a partial's own power: what nearly coincides is not told apart by the last digits
	jointOctave   = 3    // bins: an octave of fewer is one with the next above
	jointLeak     = 6    // bins from a partial beyond which a Hann window leaves nothing of it
	jointFloor    = 0.01 // of an octave's power: no string is so steady that less tells two sets apart
)

// Stretch is the sound between two moments of a take, through a Hann window: partials are
// asked of it.
type Stretch struct {
	x     []float64
	bins  []complex128 // its transform, from 0 to the top
	power float64
	rate  float64 // samples a second
	top   float64 // Hz up to which partials are taken along
}

// Stretch gives the sound between two moments, s. It is nil where the sound was not kept,
// or the stretch is too short.
func (h *Heard) Stretch(from, to float64) *Stretch {
	a, b := int(from*h.bandRate), int(to*h.bandRate)
	if a < 0 || b <= a || b > len(h.band) || !(to-from >= jointLeast) {
		return nil
	}
	s := &Stretch{x: make([]float64, b-a), rate: h.bandRate, top: h.bandTop}
	s.take(h.band[a:b])
	turn := s.turn()
	s.bins = make([]complex128, int(s.top*s.seconds())+1)
	for k := range s.bins {
		z, dz := complex(1, 0), cis(-turn*float64(k))
		for _, v := range s.x {
			s.bins[k] += complex(v, 0) * z
			z *= dz
		}
	}
	return s
}

// take takes as much sound as the stretch holds, through its window.
func (s *Stretch) take(band []int16) {
	turn := s.turn()
	s.power = 0
	for i, v := range band[:len(s.x)] {
		s.x[i] = (0.5 - 0.5*math.Cos(turn*(float64(i)+0.5))) * float64(v)
		s.power += s.x[i] * s.x[i]
	}
}

// turn is the phase that one bin goes on by from one sample to the next.
func (s *Stretch) turn() float64    { return 2 * math.Pi / float64(len(s.x)) }
func (s *Stretch) seconds() float64 { return float64(len(s.x)) / s.rate }

// Explained is how well the partials of some pitches (MIDI numbers), each at the
// amplitude and phase that fit best, explain a stretch of sound: harmonic least squares,
// and its cost by the Bayesian information criterion (M. G. Christensen and A. Jakobsson,
// "Multi-Pitch Estimation", 2009). What no partial explains has a power of its own in each
// octave: a loud fundamental that wavers would else outweigh all that the upper partials
// say. Of two sets of pitches the one with the lesser cost explains the stretch better, its
// number of partials weighed in. left is the share of the power that no partial explains.
// Both are NaN where there is no sound.
func (s *Stretch) Explained(pitches ...float64) (cost, left float64) {
	j, left := s.fitted(pitches)
	if j == nil {
		return left, left
	}
	return j.unexplained() + j.complexity(), left
}

// fitted are the partials of some pitches at their best, and what they leave: nil and NaN
// where there is no sound, or more partials than it could tell apart.
func (s *Stretch) fitted(pitches []float64) (j *joint, left float64) {
	if s == nil || s.power == 0 {
		return nil, math.NaN()
	}
	if j = s.partials(pitches); len(j.steps) == 0 || len(j.steps) >= len(s.x)/4 {
		return nil, math.NaN()
	}
	return j, j.solve()
}

// complexity is what a criterion charges for so many partials, each of which has two
// numbers.
func (j *joint) complexity() float64 {
	return 2 * float64(len(j.steps)) * math.Log(float64(len(j.bins)-1))
}

// joint is what is to explain a stretch of sound.
type joint struct {
	*Stretch
	steps []float64   // phase of each partial from one sample to the next
	rows  [][]float64 // of their Gram matrix, factored
	along []float64   // its amplitudes along cosine and sine
}

func (s *Stretch) partials(pitches []float64) *joint {
	j := &joint{Stretch: s}
	near := jointDistinct * s.turn()
	for _, p := range pitches {
		step := 2 * math.Pi * Hz(p) / s.rate
	partials:
		for k := 1.0; k <= jointPartials; k++ {
			at := k * step
			if at > 2*math.Pi*s.top/s.rate {
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

// unexplained is the sum, over octaves down from the top, of the logarithm of the share of
// the power that the partials leave, as often as the octave has independent numbers.
func (j *joint) unexplained() (cost float64) {
	rest, turn := slices.Clone(j.bins), j.turn()
	for p, step := range j.steps {
		half := complex(j.along[2*p], -j.along[2*p+1]) / 2
		at := int(math.Round(step / turn))
		for k := max(0, at-jointLeak); k <= min(len(rest)-1, at+jointLeak); k++ {
			rest[k] -= half*j.hann(step-turn*float64(k)) + conj(half)*j.hann(-step-turn*float64(k))
		}
	}
	for high := len(rest) - 1; high > 0; {
		low := high / 2
		if low < jointOctave {
			low = 0
		}
		all, left := 0.0, 0.0
		for k := low + 1; k <= high; k++ {
			all += power(j.bins[k])
			left += power(rest[k])
		}
		cost += float64(high-low) * math.Log(left/all+jointFloor)
		high = low
	}
	return cost
}

func power(z complex128) float64 { return real(z)*real(z) + imag(z)*imag(z) }

// solve finds the partials' amplitudes by the normal equations, and gives the share of the
// power outside their span: what is explained is the square of L⁻¹y, where LLᵀ is the Gram
// matrix.
func (j *joint) solve() (left float64) {
	j.factor()
	return math.Max(0, 1-j.fit()/j.power)
}

// factor finds L, row by row.
func (j *joint) factor() {
	k := 2 * len(j.steps)
	j.rows = make([][]float64, k)
	for r := range j.rows {
		j.rows[r] = make([]float64, r+2) // and one over the diagonal
	}
	for p, a := range j.steps {
		for q, b := range j.steps[:p+1] {
			minus, plus := j.window(a-b), j.window(a+b)
			// cos·cos, cos·sin, sin·cos, sin·sin of a and b, weighted by the squared window
			j.rows[2*p][2*q], j.rows[2*p+1][2*q+1] = (real(plus)+real(minus))/2, (real(minus)-real(plus))/2
			j.rows[2*p][2*q+1], j.rows[2*p+1][2*q] = (imag(plus)-imag(minus))/2, (imag(plus)+imag(minus))/2
		}
	}
	for r, row := range j.rows {
		row[r] *= 1 + jointRidge
		for c := 0; c <= r; c++ {
			s := row[c] - dot(row[:c], j.rows[c][:c])
			if c < r {
				row[c] = s / j.rows[c][c]
			} else {
				row[r] = math.Sqrt(math.Max(s, 1e-12))
			}
		}
	}
}

// fit finds the amplitudes that suit the sound best, and gives the power that they explain.
func (j *joint) fit() (explained float64) {
	y := make([]float64, len(j.rows))
	for p, a := range j.steps {
		y[2*p], y[2*p+1] = j.project(a)
	}
	for r, row := range j.rows {
		y[r] = (y[r] - dot(row[:r], y[:r])) / row[r]
		explained += y[r] * y[r]
	}
	for r := len(y) - 1; r >= 0; r-- {
		for c := r + 1; c < len(y); c++ {
			y[r] -= j.rows[c][r] * y[c]
		}
		y[r] /= j.rows[r][r]
	}
	j.along = y
	return explained
}

// project is the sound along a partial's cosine and sine, both windowed.
func (j *joint) project(step float64) (c, s float64) {
	turn := j.turn()
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
	turn := j.turn()
	half := cis(turn / 2)
	first, second := half, half*half
	sum := 0.375*j.geometric(theta) - 0.25*(first*j.geometric(theta+turn)+conj(first)*j.geometric(theta-turn)) +
		0.0625*(second*j.geometric(theta+2*turn)+conj(second)*j.geometric(theta-2*turn))
	return sum
}

// hann is the sum of w(n)·e^(iθn).
func (j *joint) hann(theta float64) complex128 {
	turn := j.turn()
	half := cis(turn / 2)
	return 0.5*j.geometric(theta) - 0.25*(half*j.geometric(theta+turn)+conj(half)*j.geometric(theta-turn))
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
