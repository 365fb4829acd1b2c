package engraving

import "math"

// skyline is how high things reach above, or how low below, along a system.
// Steps are a quarter of a staff space.
type skyline struct {
	y    []float64
	sign float64 // -1 upward, +1 downward
}

const skyStep = 0.25

func newSkyline(width, base, sign float64) *skyline {
	s := &skyline{make([]float64, int(width/skyStep)+2), sign}
	for i := range s.y {
		s.y[i] = base
	}
	return s
}

func (s *skyline) span(l, r float64) (int, int) {
	a := min(max(int(math.Floor(l/skyStep)), 0), len(s.y)-1)
	b := min(max(int(math.Ceil(r/skyStep)), a+1), len(s.y))
	return a, b
}

// at is the outermost y between l and r.
func (s *skyline) at(l, r float64) float64 {
	a, b := s.span(l, r)
	y := s.y[a]
	for _, v := range s.y[a:b] {
		if s.sign*v > s.sign*y {
			y = v
		}
	}
	return y
}

// put lets something reach y between l and r.
func (s *skyline) put(l, r, y float64) {
	a, b := s.span(l, r)
	for i := a; i < b; i++ {
		if s.sign*y > s.sign*s.y[i] {
			s.y[i] = y
		}
	}
}
