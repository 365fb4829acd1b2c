package trend

import (
	"math"
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

// mondayOf is the first day of the week of a time, in its own location.
func mondayOf(t time.Time) time.Time {
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

// Drift is the Theil–Sen slope of readings a week by days, and its 95 % interval.
// It is false with fewer than four days.
func Drift(readings []Reading) (robust.Fit, bool) {
	byDay := map[int][]Reading{}
	for _, r := range readings {
		byDay[day(r.When)] = append(byDay[day(r.When)], r)
	}
	var days []int
	for d := range byDay {
		days = append(days, d)
	}
	sort.Ints(days)
	if len(days) < 4 {
		return robust.Fit{}, false
	}
	x, y := make([]float64, len(days)), make([]float64, len(days))
	for i, d := range days {
		x[i], y[i] = float64(d-days[0])/week, robust.Median(values(byDay[d]))
	}
	return robust.TheilSen(x, y, confidence)
}

// weekly gathers values by calendar week, in order; weeks without any are left out.
func weekly[T any](all []T, when func(T) time.Time, tell func([]T) float64) []WeekOf {
	weeks := map[time.Time][]T{}
	for _, v := range all {
		m := mondayOf(when(v))
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

// Return is what a shift was like when practice began again.
type Return struct {
	When         time.Time `json:"when"`     // the first day back
	DaysOff      int       `json:"days_off"` // without a take before it
	Before       float64   `json:"before_cents"`
	After        float64   `json:"after_cents"`
	SlippedCents float64   `json:"slipped_cents"` // how much farther off nothing; negative is nearer
}

// Returns lists the times that a shift was taken up again after so many days
// without, with its distance on the first day back against the seven days
// played before. Only days told apart from chance by twice the scatter of the days
// before count as slipped or come nearer; the others are left out.
func Returns(landings []Landing, off int) []Return {
	used := landed(nil, landings, 0)
	p := byDays(used)
	days := p.days
	var out []Return
	for i := 1; i < len(days); i++ {
		gap := days[i] - days[i-1] - 1
		if gap < off || i < 4 {
			continue
		}
		of := func(day int) float64 {
			cents, _ := p.between(day, day+1)
			return robust.Centre(cents)
		}
		var centres []float64
		for d := max(0, i-week); d < i; d++ {
			centres = append(centres, of(d))
		}
		before, after := robust.Median(centres), of(i)
		if math.Abs(after-before) < 2*robust.Spread(centres) {
			continue
		}
		out = append(out, Return{When: used[p.begin[i]].When, DaysOff: gap, Before: before, After: after,
			SlippedCents: math.Abs(after) - math.Abs(before)})
	}
	return out
}
