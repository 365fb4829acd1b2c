package main

import (
	"fmt"
	"maps"
	"math"
	"math/rand"
	"slices"
)

// draws of pieces tell an interval to about a hundredth of its width.
const draws = 2000

// interval is where 95 % of what a figure might have been lie: it is worked out anew
// from as many pieces, drawn with replacement (the bootstrap's percentiles; B. Efron,
// Ann. Statist. 7, 1979). Whole pieces are drawn, since notes of one piece are not
// independent: they have its player, its sound and its room in common. The draws are
// seeded. Draws of which the figure is NaN do not count; with none left it is NaN.
func interval(pieces int, figure func(drawn []int) float64) (low, high float64) {
	rng := rand.New(rand.NewSource(1))
	drawn := make([]int, pieces)
	var all []float64
	for range draws {
		for i := range drawn {
			drawn[i] = rng.Intn(pieces)
		}
		if f := figure(drawn); !math.IsNaN(f) {
			all = append(all, f)
		}
	}
	return quantile(all, 0.025), quantile(all, 0.975)
}

// within writes a figure with its interval.
func within(pieces int, figure func(drawn []int) float64) string {
	every := make([]int, pieces)
	for i := range every {
		every[i] = i
	}
	f := math.NaN()
	if pieces > 0 {
		f = figure(every)
	}
	if math.IsNaN(f) {
		return "-"
	}
	low, high := interval(pieces, figure)
	return fmt.Sprintf("%.3f (%.3f-%.3f)", f, low, high)
}

// share is how many of so many cases are so, by piece. The zero value is of none.
type share map[string]count

type count struct{ part, whole int }

func (s *share) add(piece string, part, whole int) {
	if *s == nil {
		*s = share{}
	}
	c := (*s)[piece]
	(*s)[piece] = count{c.part + part, c.whole + whole}
}

// see adds one case.
func (s *share) see(piece string, so bool) {
	if so {
		s.add(piece, 1, 1)
	} else {
		s.add(piece, 0, 1)
	}
}

// join adds all cases of another.
func (s *share) join(other share) {
	for piece, c := range other {
		s.add(piece, c.part, c.whole)
	}
}

// total is how many cases, of how many, over all pieces.
func (s share) total() (all count) {
	for _, c := range s {
		all = count{all.part + c.part, all.whole + c.whole}
	}
	return all
}

// of is the share itself; NaN of none.
func (s share) of() float64 {
	all := s.total()
	return float64(all.part) / float64(all.whole)
}

// String gives the share and its interval, "-" of none.
func (s share) String() string {
	var by []count
	for _, piece := range slices.Sorted(maps.Keys(s)) {
		by = append(by, s[piece])
	}
	return within(len(by), func(drawn []int) float64 {
		var sum count
		for _, i := range drawn {
			sum = count{sum.part + by[i].part, sum.whole + by[i].whole}
		}
		return float64(sum.part) / float64(sum.whole)
	})
}

// hits are the notes of one take: heard where they are, there, told.
type hits struct{ matched, real, told int }

// prf are precision, recall and F over takes, counted together.
func prf(takes []hits, drawn []int) (p, r, f float64) {
	var sum hits
	for _, i := range drawn {
		t := takes[i]
		sum = hits{sum.matched + t.matched, sum.real + t.real, sum.told + t.told}
	}
	p, r = float64(sum.matched)/max(1, float64(sum.told)), float64(sum.matched)/max(1, float64(sum.real))
	return p, r, f1(p, r)
}

// scored writes F, precision and recall of takes, each with its interval.
func scored(takes []hits) (f, p, r string) {
	f = within(len(takes), func(d []int) float64 { _, _, f := prf(takes, d); return f })
	p = within(len(takes), func(d []int) float64 { p, _, _ := prf(takes, d); return p })
	r = within(len(takes), func(d []int) float64 { _, r, _ := prf(takes, d); return r })
	return f, p, r
}
