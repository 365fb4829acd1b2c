package trend

import (
	"math"
	"slices"
	"sort"
	"time"

	"endpin/dsp/robust"
)

// Pass is one playing of a range of measures.
type Pass struct {
	When  time.Time
	QPM   float64
	Clean bool // nothing was told in it
}

// WeekOf is a week of the calendar, beginning on its Monday.
type WeekOf struct {
	Monday time.Time `json:"monday"`
	Times  int       `json:"times"`
	Value  *float64  `json:"value"` // null where there is nothing to tell
}

// Monday is the first day of the week of a time, in its own location (ISO 8601).
func Monday(t time.Time) time.Time {
	y, m, d := t.Date()
	back := (int(t.Weekday()) + 6) % 7
	return time.Date(y, m, d-back, 0, 0, 0, 0, t.Location())
}

// CleanTempo gives by week the tempo at which a range is clean: the fastest at
// or below which at least three quarters of the playings of that week, and no
// fewer than two, were clean. Null where none is.
func CleanTempo(passes []Pass) []WeekOf {
	return weekly(passes, func(p Pass) time.Time { return p.When }, func(week []Pass) float64 {
		sort.SliceStable(week, func(i, j int) bool { return week[i].QPM < week[j].QPM })
		best, clean := math.NaN(), 0
		for i, p := range week {
			if p.Clean {
				clean++
			}
			last := i+1 == len(week) || week[i+1].QPM > p.QPM
			if last && p.Clean && clean >= 2 && 4*clean >= 3*(i+1) {
				best = p.QPM
			}
		}
		return best
	})
}

// FastestClean is the fastest tempo at which a measure was clean and at which, or below
// which, nothing was told of it since; 0 for none. Passes are in any order.
func FastestClean(passes []Pass) (qpm float64) {
	passes = slices.Clone(passes)
	slices.SortStableFunc(passes, func(a, b Pass) int { return b.When.Compare(a.When) })
	failed := math.Inf(1)
	for _, p := range passes {
		switch {
		case !p.Clean:
			failed = min(failed, p.QPM)
		case p.QPM < failed:
			qpm = max(qpm, p.QPM)
		}
	}
	return qpm
}

// Count is how often something was told in a take: late entrances, short notes.
type Count struct {
	When   time.Time
	Told   int
	Chance int // notes it could have been told of
}

// Share gives by week what share of the notes was told.
func Share(counts []Count) []WeekOf {
	return weekly(counts, func(c Count) time.Time { return c.When }, func(week []Count) float64 {
		told, chance := 0, 0
		for _, c := range week {
			told, chance = told+c.Told, chance+c.Chance
		}
		return float64(told) / float64(chance)
	})
}

// Reading is one measured value at a time: an open string's cents, a reference A.
type Reading struct {
	When  time.Time
	Value float64
}

// Middle gives the median by week.
func Middle(readings []Reading) []WeekOf {
	return weekly(readings, func(r Reading) time.Time { return r.When }, func(week []Reading) float64 {
		return robust.Median(values(week))
	})
}

func values(r []Reading) []float64 {
	v := make([]float64, len(r))
	for i := range r {
		v[i] = r[i].Value
	}
	return v
}

// weekly gathers values by calendar week, in order; weeks without any are left out.
func weekly[T any](all []T, when func(T) time.Time, tell func([]T) float64) []WeekOf {
	weeks := map[time.Time][]T{}
	for _, v := range all {
		m := Monday(when(v))
		weeks[m] = append(weeks[m], v)
	}
	out := make([]WeekOf, 0, len(weeks))
	for m, vs := range weeks {
		w := WeekOf{Monday: m, Times: len(vs)}
		if x := tell(vs); !math.IsNaN(x) && !math.IsInf(x, 0) {
			w.Value = &x
		}
		out = append(out, w)
	}
	sort.Slice(out, func(i, j int) bool { return out[i].Monday.Before(out[j].Monday) })
	return out
}
