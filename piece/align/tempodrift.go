package align

import (
	"math"

	"endpin/dsp/robust"
)

// drift is a pace that changes evenly: the time heard is c0 + c1·x + c2·x² of
// nominal time x. The zero value stands for no change.
type drift struct {
	c      [3]float64
	middle float64 // x is counted from here
	drifts bool
}

func (d drift) at(x float64) float64 {
	if !d.drifts {
		return x
	}
	x -= d.middle
	return d.c[0] + x*(d.c[1]+x*d.c[2])
}

func (d drift) slope(x float64) float64 {
	if !d.drifts {
		return 1
	}
	return d.c[1] + 2*d.c[2]*(x-d.middle)
}

// Set on made-up takes that slow down or hurry evenly (align_test.go); no source.
const (
	driftNotes    = 10   // notes that a change of pace must be seen over
	driftBetter   = 0.55 // of what a steady pace leaves over
	driftResidual = 0.35 // s that may be left over: a beat that is put off is no change of pace
	driftSlowest  = 0.5  // of the pace that it may go at either end …
	driftFastest  = 2.0  // … to this many times the pace
	partsPay      = 1.3  // times what parts leave over, since more lines fit better anyhow

	bisquareRounds = 6    // in which the weights settle
	bisquareWild   = 6.0  // medians of what is left over beyond which a note does not count …
	bisquareLeast  = 0.02 // … and s that it may be off anyhow
	singular       = 1e-12
)

// driftOf fits an evenly changing pace, robustly, and tells whether it fits
// clearly better than a steady one.
func driftOf(notes []onsetAt, pace float64) (d drift, ok bool) {
	n := len(notes)
	if n < driftNotes {
		return drift{}, false
	}
	d = drift{middle: (notes[0].x + notes[n-1].x) / 2, drifts: true}
	_, steady := d.fit(notes, 1)
	c, left := d.fit(notes, 2)
	d.c = c
	low, high := d.slope(notes[0].x), d.slope(notes[n-1].x)
	if left > driftBetter*steady || left > driftResidual || left > d.inParts(notes, changePoints(notes, pace)) ||
		math.Min(low, high) < driftSlowest*pace || math.Max(low, high) > driftFastest*pace {
		return drift{}, false
	}
	return d, true
}

// inParts is what is left over, s, where the beat goes straight but is put off
// at the cuts; more than anything where there are none.
func (d drift) inParts(notes []onsetAt, cuts []int) float64 {
	if len(cuts) == 0 {
		return math.Inf(1)
	}
	sum, start := 0.0, 0
	for _, c := range append(cuts, len(notes)) {
		_, left := d.fit(notes[start:c], 1)
		sum += left * float64(c-start)
		start = c
	}
	return partsPay * sum / float64(len(notes))
}

// fit is a polynomial of first or second degree by iterated weighted least
// squares with bisquare weights, and the median of what it leaves over, s.
func (d drift) fit(notes []onsetAt, degree int) (c [3]float64, left float64) {
	rest := make([]float64, len(notes))
	weight := make([]float64, len(notes))
	for k := range weight {
		weight[k] = 1
	}
	for range bisquareRounds {
		var m [3][4]float64 // normal equations
		for k, n := range notes {
			x := n.x - d.middle
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
			x := n.x - d.middle
			rest[k] = math.Abs(n.t - c[0] - x*(c[1]+x*c[2]))
		}
		left = robust.Median(rest)
		scale := math.Max(bisquareWild*left, bisquareLeast)
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
		if math.Abs(m[k][k]) < singular {
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
