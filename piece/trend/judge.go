package trend

import (
	"cmp"
	"math"
	"slices"
	"sort"
	"time"

	"endpin/dsp/robust"
)

const (
	confidence = 0.95
	week       = 7
	movedTempo = 0.08 // of the tempo over the span, beyond which landings are no longer alike
	worth      = 5.0  // cents nearer or farther off over the span, below which nothing is told: nobody hears it (common practice, no source)
)

// Judge tells how the landings of one shift go, judged alone. Where several are
// shown together use Shifts: of forty that hold one would seem to move.
//
// Landings of one day are not independent of each other: the hand, the cold and
// the tuning of a day are in all of them. So a day counts once, by its centre,
// however many takes it had, and the trend is the days'.
func Judge(landings []Landing, o Options) Trend {
	o = o.filled()
	t := measure(landed(nil, landings, 0), o)
	settle([]*Trend{&t}, o)
	return t
}

// Shifts judges shifts that are shown together. The probabilities of all of them
// go through the step-up rule of Benjamini and Hochberg (1995): where nothing
// changes, no more than Options.Alarm of such pages show a change at all, and
// where much changes, no more than that share of the changes shown are chance.
// The order is the order given. Kinds shown beside their shifts are a family of
// their own, so that a page of both may be wrong twice as often.
func Shifts(groups []Group, o Options) []Line {
	o = o.filled()
	lines := make([]Line, len(groups))
	for i, g := range groups {
		lines[i] = Line{g.Shift, measure(landed(nil, g.Landings, 0), o)}
	}
	settle(family(lines), o)
	return lines
}

func family(lines []Line) []*Trend {
	all := make([]*Trend, len(lines))
	for i := range lines {
		all[i] = &lines[i].Trend
	}
	return all
}

// Kinds judges the same landings by kind of shift over all pieces: string, from
// and to. For the medians and the trend each landing is first taken as its
// distance from the middle of its own shift, so that practising another piece is
// no change. What share lands within the tolerance, and the spread, are of the
// landings as they were: shifts that differ are not made alike there.
func Kinds(groups []Group, o Options) []Line {
	o = o.filled()
	byKind := map[Shift][]Group{}
	for _, g := range groups {
		k := Shift{String: g.Shift.String, From: g.Shift.From, To: g.Shift.To}
		byKind[k] = append(byKind[k], g)
	}
	var kinds []Line
	for k, parts := range byKind {
		t := measure(alike(parts), o)
		t.low, t.high = unlike(parts, t.Tolerance)
		kinds = append(kinds, Line{k, t})
	}
	slices.SortFunc(kinds, func(a, b Line) int {
		return cmp.Or(cmp.Compare(a.String, b.String), cmp.Compare(a.From, b.From), cmp.Compare(a.To, b.To))
	})
	settle(family(kinds), o)
	return kinds
}

// hit is a landing as it is counted.
type hit struct {
	*Landing
	at    int64 // ms
	cents float64
}

// landed adds landings to hits, each moved by so many cents.
func landed(to []hit, landings []Landing, by float64) []hit {
	to = slices.Grow(to, len(landings))
	for i := range landings {
		l := &landings[i]
		to = append(to, hit{l, l.When.UnixMilli(), l.Cents + by})
	}
	return to
}

// alike moves the landings of several shifts to a common middle.
func alike(parts []Group) []hit {
	if len(parts) == 1 {
		return landed(nil, parts[0].Landings, 0)
	}
	var all []float64
	own := make([]float64, len(parts))
	for i, p := range parts {
		c := make([]float64, 0, len(p.Landings))
		for k := range p.Landings {
			if l := &p.Landings[k]; l.counts() {
				c = append(c, l.Cents)
			}
		}
		all = append(all, c...)
		own[i] = robust.MedianOf(c)
	}
	common := robust.MedianOf(all)
	hits := make([]hit, 0, len(all))
	for i, p := range parts {
		by := 0.0
		if !math.IsNaN(own[i]) {
			by = common - own[i]
		}
		hits = landed(hits, p.Landings, by)
	}
	return hits
}

// day counts calendar days, so that neither the hour of practice nor daylight
// saving moves a landing.
func day(t time.Time) int {
	_, east := t.Zone()
	return int(math.Floor(float64(t.Unix()+int64(east)) / 86400))
}

// measure works out everything but the verdict.
func measure(hits []hit, o Options) Trend {
	t := Trend{Verdict: TooFew, P: 1}
	used := hits[:0]
	for _, h := range hits {
		if !h.counts() {
			t.Unsure++
			continue
		}
		used = append(used, h)
	}
	if len(used) == 0 {
		return t
	}
	p := byDays(used)
	n := len(p.days)
	t.Times, t.Tolerance, t.Days = len(used), used[len(used)-1].Tolerance, n
	ends := t.Ends()
	first, firstQPM := p.between(0, ends)
	last, lastQPM := p.between(n-ends, n)
	firstApart, lastApart := p.apart(0, ends), p.apart(n-ends, n)
	t.First, t.FirstSD, t.FirstQPM = robust.Median(first), math.Hypot(robust.Spread(first), firstApart), tempo(firstQPM)
	t.Last, t.Spread, t.LastQPM = robust.Median(last), math.Hypot(robust.Spread(last), lastApart), tempo(lastQPM)
	takes := map[string]bool{}
	near, settles := 0, make([]float64, 0, len(used))
	for _, l := range used {
		takes[l.Take] = true
		if math.Abs(l.Cents) <= l.Tolerance { // as it was, wherever its shift was moved
			near++
		}
		if !math.IsNaN(l.SettleMS) {
			settles = append(settles, l.SettleMS)
		}
	}
	lo, hi, ok := robust.MedianInterval(p.cents, confidence)
	t.level = math.Abs(robust.Median(p.cents)) <= t.Tolerance/2 || ok && lo <= 0 && hi >= 0
	t.Takes, t.Within = len(takes), float64(near)/float64(len(used))
	if len(settles) > 0 {
		m := robust.MedianOf(settles)
		t.SettleMS = &m
	}
	t.fit(p, o)
	if t.Verdict != TooFew { // a shift that moves evenly is not scattered for it
		t.FirstSD = math.Hypot(robust.Spread(p.about(*t.Slope, 0, ends)), firstApart)
		t.Spread = math.Hypot(robust.Spread(p.about(*t.Slope, n-ends, n)), lastApart)
	}
	return t
}

// Ends is how many days with landings stand at either end, at most seven and no
// more than half of them, so that no day is both among the first and the last.
// Of one day it is that day.
func (t *Trend) Ends() int { return max(1, min(week, t.Days/2)) }

// fit lays the line through the days.
func (t *Trend) fit(p played, o Options) {
	days := p.days
	n := len(days)
	x, y, q := make([]float64, n), make([]float64, n), make([]float64, n)
	timed := true
	for i, d := range days {
		cents, qpm := p.between(i, i+1)
		x[i], y[i] = float64(d-days[0])/week, robust.Centre(cents)
		q[i] = math.Log(tempo(qpm))
		timed = timed && !math.IsInf(q[i], 0)
	}
	f, ok := robust.TheilSen(x, y, confidence)
	if n < 2 {
		return
	}
	t.Slope = &f.Slope
	if ok {
		t.Interval = &[2]float64{f.Low, f.High}
	}
	if n < o.Days || days[n-1]-days[0]+1 < o.Span {
		return
	}
	t.Verdict = Holding
	t.still = ok && math.Max(-f.Low, f.High)*x[n-1] < worth
	t.P = f.P
	t.change, t.crossed = nearer(f, x[n-1])
	t.apart = ok && f.Low*f.High > 0
	if !timed {
		return
	}
	drift, _ := robust.TheilSen(x, q, confidence)
	moved := drift.Slope * x[n-1]
	if math.Abs(moved) < math.Log1p(movedTempo) {
		return
	}
	// Nearer though faster is nearer; farther off though slower is farther off.
	// All else is compared at one tempo: the tempo's part is taken out of the
	// landings and out of the time, and what is left of both is compared.
	like, ok := atOneTempo(x, y, q)
	if ok {
		t.Like = &like.Slope
	}
	if t.change < 0 && moved > 0 || t.change > 0 && moved < 0 {
		return
	}
	t.P, t.apart = 1, false
	if ok && cmp.Compare(like.Slope, 0) == cmp.Compare(f.Slope, 0) {
		t.P, t.apart = like.P, like.Low*like.High > 0
	}
}

// atOneTempo is the robust form of a regression on two things at once (Frisch and
// Waugh 1933).
func atOneTempo(x, y, q []float64) (robust.Fit, bool) {
	rest := func(v []float64) ([]float64, bool) {
		f, _ := robust.TheilSen(q, v, confidence)
		r := make([]float64, len(v))
		for i := range v {
			r[i] = v[i] - f.Slope*q[i]
		}
		return r, robust.Spread(r) > 0.1*robust.Spread(v)
	}
	rx, free := rest(x)
	ry, _ := rest(y)
	if !free { // time and tempo went together: nothing is left to compare by
		return robust.Fit{}, false
	}
	return robust.TheilSen(rx, ry, confidence)
}

// nearer is by how much the fitted line's distance from nothing changed, 0 where
// that is not worth telling, or where the line crossed: most of its way went from
// one side to the other.
func nearer(f robust.Fit, span float64) (change float64, crossed bool) {
	from, to := f.Intercept, f.Intercept+f.Slope*span
	change = math.Abs(to) - math.Abs(from)
	if math.Abs(change) < math.Abs(to-from)/2 {
		return 0, true
	}
	if math.Abs(change) < worth {
		return 0, false
	}
	return change, false
}

// settle gives the verdicts of a family of trends.
func settle(family []*Trend, o Options) {
	var tested []*Trend
	for _, t := range family {
		if t.Verdict != TooFew {
			tested = append(tested, t)
		}
	}
	sort.SliceStable(tested, func(i, j int) bool { return tested[i].P < tested[j].P })
	moved := 0
	for i, t := range tested {
		if t.P <= o.Alarm*float64(i+1)/float64(len(tested)) {
			moved = i + 1
		}
	}
	for i, t := range tested {
		switch {
		case i < moved && t.change < 0:
			t.Verdict = Closing
		case i < moved && t.change > 0:
			t.Verdict = Opening
		case i < moved: // from one side to the other, or by too little
			t.moved = true
		case t.level && math.Min(t.FirstSD, t.Spread) > 0.8*t.Tolerance && t.Within < 0.7:
			t.Verdict = Scattered
		}
	}
	for _, t := range family {
		t.say(o)
	}
}

// played are landings in order of time.
type played struct {
	cents, qpm []float64
	moved      []float64 // what was taken from each landing to make its shift like the others of its kind
	days       []int     // with landings, in order
	begin      []int     // of each day its first landing, and after the last their number
}

// byDays puts landings in order, too.
func byDays(used []hit) played {
	sorted := func(a, b hit) int { return cmp.Compare(a.at, b.at) }
	if !slices.IsSortedFunc(used, sorted) { // which of two at once is first makes no difference
		slices.SortFunc(used, sorted)
	}
	p := played{cents: make([]float64, len(used)), qpm: make([]float64, len(used)), moved: make([]float64, len(used))}
	for i, l := range used {
		p.cents[i], p.qpm[i], p.moved[i] = l.cents, l.QPM, l.Cents-l.cents
		if d := day(l.When); len(p.days) == 0 || d != p.days[len(p.days)-1] {
			p.days, p.begin = append(p.days, d), append(p.begin, i)
		}
	}
	p.begin = append(p.begin, len(used))
	return p
}

// between gives the landings of some of the days, to excluded.
func (p *played) between(from, to int) (cents, qpm []float64) {
	a, b := p.begin[from], p.begin[to]
	return p.cents[a:b], p.qpm[a:b]
}

// apart is how far the shifts of a kind lie apart in some of the days, to
// excluded: the standard deviation of their middles, by landings. Of one shift it
// is 0.
func (p *played) apart(from, to int) float64 {
	moved := p.moved[p.begin[from]:p.begin[to]]
	mean, squares := 0.0, 0.0
	for _, m := range moved {
		mean += m / float64(len(moved))
	}
	for _, m := range moved {
		squares += (m - mean) * (m - mean) / float64(len(moved))
	}
	return math.Sqrt(squares)
}

// about gives the landings of some of the days less a line of so many cents a
// week, to excluded.
func (p *played) about(slope float64, from, to int) []float64 {
	var rest []float64
	for i := from; i < to; i++ {
		cents, _ := p.between(i, i+1)
		for _, c := range cents {
			rest = append(rest, c-slope*float64(p.days[i]-p.days[0])/week)
		}
	}
	return rest
}

// tempo is the median of the tempos that are known, 0 for none.
func tempo(qpm []float64) float64 {
	q := make([]float64, 0, len(qpm))
	for _, v := range qpm {
		if v > 0 {
			q = append(q, v)
		}
	}
	if len(q) == 0 {
		return 0
	}
	return robust.MedianOf(q)
}
