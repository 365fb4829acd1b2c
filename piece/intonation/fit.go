package intonation

import (
	"math"
	"slices"

	"endpin/dsp/robust"
)

// The widths of what is usual, cents, and the tails. Set by ear, looked at on takes
// simulated without sound (finding's intonation_test.go) and rendered ones; no source.
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
	leastOpen    = 4.0  // of an open string, which no finger moves
	widestTuning = 90.0 // from the reference asked for that an instrument may be tuned
	readingStep  = 3.0  // between readings
	coarseStep   = 9.0  // and between those that are looked at first …
	coarseOdds   = 1e-9 // … which those far less likely than this are no more after
)

// explain finds the causes of notes.
func (m *Model) explain(p Prior) {
	slices.SortStableFunc(m.all, func(a, b effect) int { return int(a.what) - int(b.what) })
	for k := range m.all {
		m.of[m.all[k].Cause] = k
	}
	m.usual(usualScatter)
	m.readings, m.best = nil, 0
	for a := -widestTuning; a <= widestTuning; a += coarseStep {
		m.read(a, make([]float64, len(m.all)), p)
	}
	m.weigh()
	m.usual(m.scatterLeft())
	coarse := m.readings
	m.readings, m.best = nil, 0
	for _, r := range coarse {
		if r.odds < coarseOdds {
			continue
		}
		for d := -1.0; d <= 1; d++ {
			if n := len(m.readings); n == 0 || m.readings[n-1].A < r.A+d*readingStep-readingStep/2 {
				m.read(r.A+d*readingStep, slices.Clone(r.effect), p)
			}
		}
	}
	m.weigh()
	m.Scatter = m.scatterLeft()
}

// usual sets what a note is off by itself.
func (m *Model) usual(scatter float64) {
	m.Scatter = scatter
	for i := range m.notes {
		n := &m.notes[i]
		own := leastOpen
		if n.stopped {
			own = scatter
		}
		n.scale = math.Hypot(n.sd, own)
	}
}

// scatterLeft is the standard deviation of stopped notes that the causes leave, less
// that of the measurement.
func (m *Model) scatterLeft() float64 {
	left := m.left(m.Likeliest())
	var off, sd []float64
	taken := 0.0 // of the notes' freedom by the frames: a frame that few notes ask for hardly moves
	for i, n := range m.notes {
		if n.stopped {
			off, sd = append(off, left[i]), append(sd, n.sd)
		}
	}
	for _, k := range m.all {
		if k.what == ofFrame {
			asked := 0.0
			for _, i := range k.notes {
				asked += 1 / (m.notes[i].scale * m.notes[i].scale)
			}
			taken += asked / (asked + 1/(k.scale*k.scale))
		}
	}
	usual := scatterNotes * usualScatter * usualScatter
	n := float64(len(off)) - taken
	if n < 1 {
		return usualScatter
	}
	s, typical := robust.SpreadAbout(off, 0), robust.Median(sd)
	own := math.Max(0, s*s*float64(len(off))/n-typical*typical)
	return math.Max(leastScatter, math.Sqrt((n*own+usual)/(n+scatterNotes)))
}

// read fits the causes to one A, beginning with some effects, strings first or last.
func (m *Model) read(a float64, effect []float64, p Prior) {
	own := (a - p.A) * (a - p.A) / (2 * p.SD * p.SD)
	r, other := Reading{A: a, effect: effect, of: m.of}, Reading{A: a, effect: slices.Clone(effect), of: m.of}
	r.cost, other.cost = own+m.fit(&r, false), own+m.fit(&other, true)
	if other.cost < r.cost {
		r = other
	}
	m.readings = append(m.readings, r)
}

// weigh says how likely each reading is.
func (m *Model) weigh() {
	for k := range m.readings {
		if m.readings[k].cost < m.readings[m.best].cost {
			m.best = k
		}
	}
	sum, least := 0.0, m.readings[m.best].cost
	for k := range m.readings {
		m.readings[k].odds = math.Exp(least - m.readings[k].cost)
		sum += m.readings[k].odds
	}
	for k := range m.readings {
		m.readings[k].odds /= sum
	}
}

// left is what a reading leaves of each note.
func (m *Model) left(r *Reading) []float64 {
	left := make([]float64, len(m.notes))
	for i, n := range m.notes {
		left[i] = n.cents - r.A
	}
	for k := range m.all {
		for j, i := range m.all[k].notes {
			left[i] -= m.all[k].share[j] * r.effect[k]
		}
	}
	return left
}

// How a reading is fitted. More of each changes nothing on the takes looked at.
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
func (m *Model) fit(r *Reading, backward bool) (cost float64) {
	left := m.left(r)
	for sweep := range fitSweeps {
		moved := 0.0
		for k := range m.all {
			if backward {
				k = len(m.all) - 1 - k
			}
			to := m.cheapest(&m.all[k], left, r.effect[k], sweep < fitWide)
			by := to - r.effect[k]
			for j, i := range m.all[k].notes {
				left[i] -= by * m.all[k].share[j]
			}
			r.effect[k] = to
			moved = math.Max(moved, math.Abs(by))
		}
		if moved < fitStill {
			break
		}
	}
	for k := range m.all {
		cost += rare(r.effect[k]/m.all[k].scale, causeTails)
	}
	for i, n := range m.notes {
		cost += rare(left[i]/n.scale, noteTails)
	}
	return cost
}

// cheapest is where a cause costs least, with what the others leave.
func (m *Model) cheapest(k *effect, left []float64, now float64, wide bool) float64 {
	cost := func(at float64) float64 {
		sum := rarity{tails: noteTails, product: 1}
		for j, i := range k.notes {
			sum.add((left[i] + k.share[j]*(now-at)) / m.notes[i].scale)
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
			s := m.notes[i].scale
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
