package pace

import "math"

// What a player does with the beat. Set on onsets made up as those of this package's
// tests are; testdata/figures/pace.md holds takes that were not looked at.
const (
	breathLasts = 4.0   // s over which a breath is forgotten: some quarter of a phrase
	drifts      = 0.005 // standard deviation of an even drift, of the pace a second
	otherPace   = 0.25  // standard deviation of another pace about the take's own, of that …
	samePace    = 0.03  // … and of the take's own, come back to
)

// Astray is how far an onset lies off the beat by itself, s, and PutOff how far the beat is put
// off: standard deviations.
const (
	Astray = 0.3
	PutOff = 1.5
)

// Where a state keeps what.
const (
	at     = iota // when the beat has this place, s
	goes          // the pace, s a nominal second
	breath        // what the pace is off by for the moment
	drift         // by how much it changes in a nominal second
	size
)

type vector [size]float64
type matrix [size]vector

// manner is how somebody plays.
type manner struct {
	pace     float64 // about what the take goes at, s a nominal second
	breathes float64 // standard deviation of the pace about its own, of that
	jitter   float64 // of onsets about the beat, s
}

// state is what is known of the beat at an onset: a normal distribution.
type state struct {
	x vector
	p matrix
}

// begin is a state of which nothing is known but about when it is, and about the pace.
func begin(t float64, by *manner) state {
	s := state{x: vector{t}}
	s.p[at][at] = sq(PutOff)
	s.p[breath][breath] = sq(by.breathes * by.pace)
	s.anotherPace(by.pace, otherPace)
	return s
}

// anotherPace forgets what was known of the pace and its drift: it is about the take's
// own, by a share.
func (s *state) anotherPace(pace, share float64) {
	for k := range size {
		s.p[goes][k], s.p[k][goes], s.p[drift][k], s.p[k][drift] = 0, 0, 0, 0
	}
	s.x[goes], s.x[drift] = pace, 0
	s.p[goes][goes], s.p[drift][drift] = sq(share*pace), sq(drifts*pace)
}

// turned is a state at whose place another pace begins, or the take's own again.
func (s state) turned(c change, by *manner) state {
	switch {
	case c&another != 0:
		s.anotherPace(by.pace, otherPace)
	case c&back != 0:
		s.anotherPace(by.pace, samePace)
	}
	return s
}

// flow is what becomes of a state by itself over dx nominal seconds: the beat goes on, the
// breath is forgotten. The breath is an Ornstein-Uhlenbeck process, and the beat goes by
// its integral.
type flow struct {
	dx, breath, drift, kept  float64
	beats, together, breaths float64 // variances that the breath adds: of the beat, of both, its own
}

func (by *manner) over(dx float64) flow {
	u := dx / breathLasts
	kept, v := math.Exp(-u), sq(by.breathes*by.pace)
	return flow{
		dx: dx, breath: breathLasts * (1 - kept), drift: dx * dx / 2, kept: kept,
		beats:    v * sq(breathLasts) * (2*u - 3 + 4*kept - kept*kept),
		together: v * breathLasts * sq(1-kept),
		breaths:  v * (1 - kept*kept),
	}
}

func (f *flow) of(v vector) vector {
	return vector{v[at] + f.dx*v[goes] + f.breath*v[breath] + f.drift*v[drift], v[goes] + f.dx*v[drift], f.kept * v[breath], v[drift]}
}

// carry makes n what s becomes.
func (f *flow) carry(s, n *state) {
	n.x = f.of(s.x)
	var half matrix
	for k := range size { // p is symmetric: f·p, column by column
		half[k] = f.of(s.p[k])
	}
	for k := range size {
		n.p[k] = f.of(vector{half[0][k], half[1][k], half[2][k], half[3][k]})
	}
	n.p[at][at] += f.beats
	n.p[at][breath] += f.together
	n.p[breath][at] += f.together
	n.p[breath][breath] += f.breaths
}

// changed is a state a flow on, after what became of the beat on the way.
func (s state) changed(c change, f *flow, by *manner) (n state) {
	s = s.turned(c, by)
	f.carry(&s, &n)
	if c&jump != 0 {
		n.p[at][at] += sq(PutOff)
	}
	return n
}

// price is minus the logarithm of the likelihood of an onset heard at t, with a variance.
func (s *state) price(t, variance float64) float64 {
	v := s.p[at][at] + variance
	return 0.5 * (sq(t-s.x[at])/v + math.Log(2*math.Pi*v))
}

// see takes an onset along that was heard at t, with a variance, and gives its price.
func (s *state) see(t, variance float64) float64 {
	price := s.price(t, variance)
	v, e := s.p[at][at]+variance, t-s.x[at]
	row := s.p[at]
	for k := range size {
		gain := row[k] / v
		s.x[k] += gain * e
		for q := range size {
			s.p[k][q] -= gain * row[q]
		}
	}
	return price
}

// from is what is known of a state that became predicted, once more was learnt of that
// one: Rauch, Tung and Striebel, AIAA J. 3, 1965. Across holds how the two go together,
// and is f·p where the state became the other by f.
func (s *state) from(across *matrix, predicted, after *state) state {
	inverse := predicted.p.inverse()
	var gain, change matrix
	for k := range size {
		for q := range size {
			for j := range size {
				gain[k][q] += across[j][k] * inverse[j][q]
			}
			change[k][q] = after.p[k][q] - predicted.p[k][q]
		}
	}
	n := *s
	for k := range size {
		for q := range size {
			n.x[k] += gain[k][q] * (after.x[q] - predicted.x[q])
			for i := range size {
				for j := range size {
					n.p[k][q] += gain[k][i] * change[i][j] * gain[q][j]
				}
			}
		}
	}
	return n
}

// across is f·p of a state that goes through a change.
func (s *state) across(c change, f *flow) (a matrix) {
	for k := range size {
		v := s.p[k]
		if c&(another|back) != 0 {
			v[goes], v[drift] = 0, 0
		}
		for q, x := range f.of(v) {
			a[q][k] = x
		}
	}
	return a
}

// inverse is by Gauss and Jordan, with pivoting.
func (m matrix) inverse() (r matrix) {
	for k := range size {
		r[k][k] = 1
	}
	for k := range size {
		p := k
		for q := k + 1; q < size; q++ {
			if math.Abs(m[q][k]) > math.Abs(m[p][k]) {
				p = q
			}
		}
		m[k], m[p], r[k], r[p] = m[p], m[k], r[p], r[k]
		d := m[k][k]
		for j := range size {
			m[k][j] /= d
			r[k][j] /= d
		}
		for q := range size {
			if f := m[q][k]; q != k && f != 0 {
				for j := range size {
					m[q][j] -= f * m[k][j]
					r[q][j] -= f * r[k][j]
				}
			}
		}
	}
	return r
}

func sq(x float64) float64 { return x * x }
