package align

import (
	"math"

	"endpin/dsp/robust"
)

// bend is a pace that changes evenly: the time heard is c0 + c1·x + c2·x² of
// nominal time x. The zero value of c stands for no change, x itself.
type bend struct {
	c      [3]float64
	middle float64 // x is counted from here
	bent   bool
}

var straight bend

func (b bend) at(x float64) float64 {
	if !b.bent {
		return x
	}
	x -= b.middle
	return b.c[0] + x*(b.c[1]+x*b.c[2])
}

func (b bend) slope(x float64) float64 {
	if !b.bent {
		return 1
	}
	return b.c[1] + 2*b.c[2]*(x-b.middle)
}

const (
	bendNotes  = 10   // notes that a change of pace must be seen over
	bendBetter = 0.55 // of what a steady pace leaves over
	bendMost   = 0.35 // s that may be left over: a beat that is put off is no change of pace
)

// bendOf fits an evenly changing pace, robustly, and tells whether it fits
// clearly better than a steady one.
func bendOf(notes []onsetAt, pace float64) (b bend, ok bool) {
	n := len(notes)
	if n < bendNotes {
		return straight, false
	}
	b = bend{middle: (notes[0].x + notes[n-1].x) / 2, bent: true}
	_, steady := b.fit(notes, 1)
	c, left := b.fit(notes, 2)
	b.c = c
	low, high := b.slope(notes[0].x), b.slope(notes[n-1].x)
	if left > bendBetter*steady || left > b.inParts(notes, steps(notes, pace)) || left > bendMost || math.Min(low, high) < 0.5*pace || math.Max(low, high) > 2*pace {
		return straight, false
	}
	return b, true
}

// inParts is what is left over, s, where the beat goes straight but is put off
// at the cuts; more than anything where there are none.
func (b bend) inParts(notes []onsetAt, cuts []int) float64 {
	if len(cuts) == 0 {
		return math.Inf(1)
	}
	sum, start := 0.0, 0
	for _, c := range append(cuts, len(notes)) {
		_, left := b.fit(notes[start:c], 1)
		sum += left * float64(c-start)
		start = c
	}
	return 1.3 * sum / float64(len(notes))
}

// fit is a polynomial of first or second degree by iterated weighted least
// squares with bisquare weights, and the median of what it leaves over, s.
func (b bend) fit(notes []onsetAt, degree int) (c [3]float64, left float64) {
	rest := make([]float64, len(notes))
	weight := make([]float64, len(notes))
	for k := range weight {
		weight[k] = 1
	}
	for range 6 {
		var m [3][4]float64 // normal equations
		for k, n := range notes {
			x := n.x - b.middle
			p := [3]float64{1, x, x * x}
			for r := 0; r <= degree; r++ {
				for q := 0; q <= degree; q++ {
					m[r][q] += weight[k] * p[r] * p[q]
				}
				m[r][3] += weight[k] * p[r] * n.t
			}
		}
		c = solve(m, degree+1)
		for k, n := range notes {
			x := n.x - b.middle
			rest[k] = math.Abs(n.t - c[0] - x*(c[1]+x*c[2]))
		}
		left = robust.Median(rest)
		scale := math.Max(6*left, 0.02)
		for k := range weight {
			u := math.Min(1, rest[k]/scale)
			weight[k] = (1 - u*u) * (1 - u*u)
		}
	}
	return c, left
}

// solve does Gaussian elimination with pivoting on n equations.
func solve(m [3][4]float64, n int) (x [3]float64) {
	for k := 0; k < n; k++ {
		p := k
		for r := k + 1; r < n; r++ {
			if math.Abs(m[r][k]) > math.Abs(m[p][k]) {
				p = r
			}
		}
		m[k], m[p] = m[p], m[k]
		if math.Abs(m[k][k]) < 1e-12 {
			return x
		}
		for r := k + 1; r < n; r++ {
			f := m[r][k] / m[k][k]
			for q := k; q < 4; q++ {
				m[r][q] -= f * m[k][q]
			}
		}
	}
	for k := n - 1; k >= 0; k-- {
		x[k] = m[k][3]
		for q := k + 1; q < n; q++ {
			x[k] -= m[k][q] * x[q]
		}
		x[k] /= m[k][k]
	}
	return x
}
