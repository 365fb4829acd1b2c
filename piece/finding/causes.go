package finding

import (
	"math"
	"slices"

	"endpin/dsp"
	"endpin/dsp/robust"
)

// causes is why the notes of a take are off, as one model of all of them:
//
//	cents of a note = the reference A + its string + its hand frame (or its open
//	                  string) + its finger + the note itself
//
// Few causes are large: each but A follows Student's t, whose tails let one large
// cause be cheaper than many middling ones, and one cause shared by many notes cheaper
// than many alone (K. L. Lange, R. J. A. Little and J. M. G. Taylor, "Robust statistical
// modeling using the t distribution", 1989). Notes of one frame are therefore no
// independent witnesses of A. What A may be is asked of every A in turn, the other
// causes being fitted to each, so that two readings of a take stand side by side with
// their odds. It knows no tolerance: a stricter level tells more of the same causes.
type causes struct {
	notes []pitchHeard
	all   []cause
	of    map[source]int // index in all
	line  map[int]int    // by note of the line: index in notes

	readings []reading // by A
	best     int       // of them
	scatter  float64   // standard deviation of a stopped note by itself, cents
}

// pitchHeard is a note that tells of them.
type pitchHeard struct {
	cents   float64 // against the reference asked for
	sd      float64 // of the measurement, cents
	scale   float64 // that and the player's scatter
	stopped bool
}

// source names a cause: a string, a hand frame, an open string, or the hand's span.
type source struct {
	what sourceKind
	n    int
}

type sourceKind int

const (
	ofString sourceKind = iota // in the order in which they are moved
	ofOpenString
	ofSpan
	ofFrame
)

// cause moves notes by so much of it each.
type cause struct {
	source
	notes []int
	share []float64
	scale float64 // cents
}

// reading is the causes under one reference.
type reading struct {
	a      float64   // cents from the reference asked for
	effect []float64 // by cause, cents
	cost   float64   // negative logarithm of its odds
	odds   float64   // that this is the one: they add up to one
}

// The widths of what is usual, cents, and the tails. Set by ear, looked at on takes
// simulated without sound (causes_test.go) and rendered ones; no source.
const (
	usualA       = 25.0 // standard deviation of an instrument's tuning from the A asked for
	usualString  = 4.0  // of a string from the others
	usualOpen    = 3.0  // of an open string from what is stopped on it
	usualFrame   = 5.0  // of where a hand comes down
	usualSpan    = 6.0  // of fourth fingers from the whole tone
	causeTails   = 2.0  // degrees of freedom of all these
	noteTails    = 4.0  // and of a note
	usualScatter = 6.0  // of a player's notes, which weighs as much …
	scatterNotes = 4.0  // … as so many notes
	leastScatter = 3.0  // the listening's own
	leastOpen    = 2.0  // of an open string, which no finger moves
	widestTuning = 90.0 // from the reference asked for that an instrument may be tuned
	readingStep  = 3.0  // between readings
	coarseStep   = 9.0  // and between those that are looked at first …
	coarseOdds   = 1e-9 // … which those far less likely than this are no more after
)

// moves says that a cause moves the last note by so much of it, and whether that is the
// first of its notes.
func (c *causes) moves(s source, scale, share float64) (first bool) {
	k, known := c.of[s]
	if !known {
		k = len(c.all)
		c.of[s] = k
		c.all = append(c.all, cause{source: s, scale: scale})
	}
	e := &c.all[k]
	e.notes, e.share = append(e.notes, len(c.notes)-1), append(e.share, share)
	return !known
}

// under is what a cause is under a reading; one that is none is nothing.
func (c *causes) under(r *reading, s source) float64 {
	if k, known := c.of[s]; known {
		return r.effect[k]
	}
	return 0
}

// prior is what is known of A before anything was heard, cents from the reference
// asked for.
type prior struct{ a, sd float64 }

// explain finds the causes of notes.
func (c *causes) explain(p prior) {
	slices.SortStableFunc(c.all, func(a, b cause) int { return int(a.what) - int(b.what) })
	for k := range c.all {
		c.of[c.all[k].source] = k
	}
	c.usual(usualScatter)
	c.readings, c.best = nil, 0
	for a := -widestTuning; a <= widestTuning; a += coarseStep {
		c.read(a, make([]float64, len(c.all)), p)
	}
	c.weigh()
	c.usual(c.scatterLeft())
	coarse := c.readings
	c.readings, c.best = nil, 0
	for _, r := range coarse {
		if r.odds < coarseOdds {
			continue
		}
		for d := -1.0; d <= 1; d++ {
			if n := len(c.readings); n == 0 || c.readings[n-1].a < r.a+d*readingStep-readingStep/2 {
				c.read(r.a+d*readingStep, slices.Clone(r.effect), p)
			}
		}
	}
	c.weigh()
	c.scatter = c.scatterLeft()
}

// usual sets what a note is off by itself.
func (c *causes) usual(scatter float64) {
	c.scatter = scatter
	for i := range c.notes {
		n := &c.notes[i]
		own := leastOpen
		if n.stopped {
			own = scatter
		}
		n.scale = math.Hypot(n.sd, own)
	}
}

// scatterLeft is the standard deviation of stopped notes that the causes leave, less
// that of the measurement.
func (c *causes) scatterLeft() float64 {
	left := c.left(c.likeliest())
	var off, sd []float64
	groups := 0
	for i, n := range c.notes {
		if n.stopped {
			off, sd = append(off, left[i]), append(sd, n.sd)
		}
	}
	for _, k := range c.all {
		if k.what == ofFrame && len(k.notes) > 0 {
			groups++
		}
	}
	usual := scatterNotes * usualScatter * usualScatter
	n := float64(len(off) - groups)
	if n < 1 {
		return usualScatter
	}
	s, m := robust.SpreadAbout(off, 0), robust.Median(sd)
	own := math.Max(0, s*s*float64(len(off))/n-m*m)
	return math.Max(leastScatter, math.Sqrt((n*own+usual)/(n+scatterNotes)))
}

// read fits the causes to one A, beginning with some effects, strings first or last.
func (c *causes) read(a float64, effect []float64, p prior) {
	own := (a - p.a) * (a - p.a) / (2 * p.sd * p.sd)
	r, other := reading{a: a, effect: effect}, reading{a: a, effect: slices.Clone(effect)}
	r.cost, other.cost = own+c.fit(&r, false), own+c.fit(&other, true)
	if other.cost < r.cost {
		r = other
	}
	c.readings = append(c.readings, r)
}

// weigh says how likely each reading is.
func (c *causes) weigh() {
	for k := range c.readings {
		if c.readings[k].cost < c.readings[c.best].cost {
			c.best = k
		}
	}
	sum, least := 0.0, c.readings[c.best].cost
	for k := range c.readings {
		c.readings[k].odds = math.Exp(least - c.readings[k].cost)
		sum += c.readings[k].odds
	}
	for k := range c.readings {
		c.readings[k].odds /= sum
	}
}

// left is what a reading leaves of each note.
func (c *causes) left(r *reading) []float64 {
	left := make([]float64, len(c.notes))
	for i, n := range c.notes {
		left[i] = n.cents - r.a
	}
	for k := range c.all {
		for j, i := range c.all[k].notes {
			left[i] -= c.all[k].share[j] * r.effect[k]
		}
	}
	return left
}

const (
	fitSweeps = 12   // at most: after them nothing moves
	fitStill  = 0.05 // cents
	fitWide   = 3    // in so many first ones values far off are tried, too
	fitTries  = 7    // values tried of one cause
	fitPolish = 3    // steps of reweighted least squares after them
)

// fit moves one cause after another to where it costs least, the others standing, until
// nothing moves: the cost is the negative logarithm of the odds. Each is tried at
// nothing and at what some of its notes ask for, since the valleys are many; which is
// moved first decides between some.
func (c *causes) fit(r *reading, backward bool) (cost float64) {
	left := c.left(r)
	for sweep := range fitSweeps {
		moved := 0.0
		for k := range c.all {
			if backward {
				k = len(c.all) - 1 - k
			}
			to := c.cheapest(&c.all[k], left, r.effect[k], sweep < fitWide)
			by := to - r.effect[k]
			for j, i := range c.all[k].notes {
				left[i] -= by * c.all[k].share[j]
			}
			r.effect[k] = to
			moved = math.Max(moved, math.Abs(by))
		}
		if moved < fitStill {
			break
		}
	}
	for k := range c.all {
		cost += rare(r.effect[k]/c.all[k].scale, causeTails)
	}
	for i, n := range c.notes {
		cost += rare(left[i]/n.scale, noteTails)
	}
	return cost
}

// cheapest is where a cause costs least, with what the others leave.
func (c *causes) cheapest(k *cause, left []float64, now float64, wide bool) float64 {
	cost := func(at float64) float64 {
		sum := rarity{tails: noteTails, product: 1}
		for j, i := range k.notes {
			sum.add((left[i] + k.share[j]*(now-at)) / c.notes[i].scale)
		}
		return rare(at/k.scale, causeTails) + sum.sum()
	}
	var asked []float64
	for j, i := range k.notes {
		if k.share[j] > 0 {
			asked = append(asked, now+left[i]/k.share[j])
		}
	}
	tries := []float64{0, now}
	if wide {
		slices.Sort(asked)
		for q := range min(fitTries, len(asked)) {
			tries = append(tries, asked[(2*q+1)*len(asked)/(2*min(fitTries, len(asked)))])
		}
	}
	best, least := now, math.Inf(1)
	for _, at := range tries {
		if s := cost(at); s < least {
			best, least = at, s
		}
	}
	for range fitPolish {
		at := best
		own := weight(at/k.scale, causeTails) / (k.scale * k.scale)
		sum, total := 0.0, own
		for j, i := range k.notes {
			s := c.notes[i].scale
			off := left[i] + k.share[j]*now // without this cause
			w := weight((off-k.share[j]*at)/s, noteTails) / (s * s) * k.share[j]
			sum, total = sum+w*off, total+w*k.share[j]
		}
		if s := cost(sum / total); s < least {
			best, least = sum/total, s
		}
	}
	return best
}

// rare is what a value costs that follows Student's t.
func rare(x, tails float64) float64 { return (tails + 1) / 2 * math.Log1p(x*x/tails) }

// rarity adds up what values cost: the logarithm of a product is taken seldom.
type rarity struct{ tails, product, logs float64 }

func (r *rarity) add(x float64) {
	if r.product *= 1 + x*x/r.tails; r.product > 1e200 {
		r.logs += math.Log(r.product)
		r.product = 1
	}
}

func (r *rarity) sum() float64 { return (r.tails + 1) / 2 * (r.logs + math.Log(r.product)) }

// weight is that of a value in reweighted least squares.
func weight(x, tails float64) float64 { return (tails + 1) / (tails + x*x) }

// reference is A: where it lies most likely, cents from the reference asked for, its
// standard deviation, and how likely it lies within so many cents of that.
func (c *causes) reference(within float64) (a, sd, likely float64) {
	a = c.readings[c.best].a
	if c.best > 0 && c.best+1 < len(c.readings) { // the top of the parabola through three
		low, top, high := math.Log(c.readings[c.best-1].odds), math.Log(c.readings[c.best].odds), math.Log(c.readings[c.best+1].odds)
		if bend := 2*top - low - high; bend > 0 && !math.IsInf(bend, 1) {
			a += readingStep / 2 * (high - low) / bend
		}
	}
	for _, r := range c.readings {
		sd += r.odds * (r.a - a) * (r.a - a)
		if math.Abs(r.a-a) <= within {
			likely += r.odds
		}
	}
	return a, math.Sqrt(sd), likely
}

// likeliest is the reading with the best odds.
func (c *causes) likeliest() *reading { return &c.readings[c.best] }

// effect is a cause under the likeliest reading, and its standard deviation there.
func (c *causes) effect(s source) (cents, sd float64) {
	k, known := c.of[s]
	if !known || len(c.readings) == 0 {
		return 0, 0
	}
	cents = c.readings[c.best].effect[k]
	left := c.left(c.likeliest())
	e := &c.all[k]
	total := weight(cents/e.scale, causeTails) / (e.scale * e.scale)
	for j, i := range e.notes {
		n := &c.notes[i]
		total += weight(left[i]/n.scale, noteTails) / (n.scale * n.scale) * e.share[j] * e.share[j]
	}
	return cents, 1 / math.Sqrt(total)
}

// How surely something is told, by how likely it is (design: of what is sure 98 in 100
// are right, of what is fair 85).
const (
	surely = 0.98
	fairly = 0.85
	likely = 0.5
	atAll  = 0.5 // of what is allowed: what is off by more is off at all
)

// beyond is how likely something is off by more than is allowed, and how surely it is
// off at all, on the side where it lies: at gives where it lies under a reading, cents,
// and sd is how surely.
func (c *causes) beyond(allowed, sd float64, at func(r *reading) float64) (much float64, trust dsp.Trust) {
	side, some := at(c.likeliest()), 0.0
	for k := range c.readings {
		r := &c.readings[k]
		off := math.Copysign(at(r), at(r)*side)
		much += r.odds * normal((off-allowed)/sd)
		some += r.odds * normal((off-atAll*allowed)/sd)
	}
	switch {
	case some >= surely:
		return much, dsp.Sure
	case some >= fairly:
		return much, dsp.Fair
	}
	return much, dsp.NotSure
}

// normal is the share of a normal distribution below so many standard deviations.
func normal(x float64) float64 { return math.Erfc(-x/math.Sqrt2) / 2 }
