package pace

import (
	"math"
	"slices"
)

// Onset is one note of the page, and when it was heard.
type Onset struct {
	X     float64 // when it is written, nominal seconds
	T     float64 // when it was heard, s; NaN where it was not
	Soft  float64 // s by which it may have begun before it was heard
	Waits bool    // the beat may wait before it as long as the player likes: a fermata, a breath
	Turns bool    // another pace may begin with it: the page says so
}

// Place is an onset in the course of the beat.
type Place struct {
	Beat    float64 // when the beat has it, s, by all the others
	Rate    float64 // s a nominal second, from here on
	Step    float64 // s by which the beat is put off from here on
	Another bool    // another pace leads to this onset from the one before
	Off     bool    // it lies off the beat by itself
}

// change is what becomes of the beat between two onsets.
type change int

const (
	jump    change = 1 << iota // it is put off
	another                    // another pace begins
	back                       // the take's own pace begins again
)

// What a cause costs: minus the logarithm of how often it happens. Set as those in
// state.go.
var (
	priceOff     = -math.Log(0.02) // an onset off the beat by itself
	priceJump    = -math.Log(0.005)
	priceAnother = -math.Log(0.01)
	priceTurn    = -math.Log(0.1) // another pace where the page lets it begin
)

// How much onsets may scatter about the beat, s, and the pace breathe, of itself: the
// likeliest are taken. People marking one recording differ by 25 ms, careful players by 12
// (testdata/figures); a pace that goes up and down by 3 % over a phrase deviates by 2.
var (
	jitters = []float64{0.010, 0.016, 0.025, 0.040}
	breaths = []struct{ share, price float64 }{{0.012, 0}, {0.025, -math.Log(0.01)}}
)

// usual is the scatter, of jitters, that is tried first.
const usual = 1

// How many ways are kept, how far behind the best they may fall, and how many of the best
// may change: one where nothing is left of what went before.
const (
	beam    = 32
	behind  = 30.0
	turning = 12
)

// way is one way through the onsets so far.
type way struct {
	state
	cost float64
	back *way
	c    change
	off  bool // the last onset lies off the beat by itself
	last last
	on   int // ways that go on from it
}

// last is where a way last changed: the beat put off, another pace, an onset off the beat.
// Two ways with the same go the same way from there.
type last struct{ jumped, turned, off int }

// Follow finds the least-cost way of the beat through onsets in order, and says of each
// what is known from all. Pace is about what the take goes at, s a nominal second.
func Follow(onsets []Onset, pace float64) []Place {
	f := follower{onsets: onsets, pace: pace, least: math.Inf(1), scatter: usual}
	for k := range breaths {
		f.breath = k
		here, from := f.search(f.scatter), f.scatter
		// Where the pace breathes more no onset scatters more.
		if k > 0 || !f.climb(from, 1, here) {
			f.climb(from, -1, here)
		}
	}
	// How fast the beat goes is told by its causes alone. Where it lies, all manners tell as
	// likely as they are, once the causes are known: a pace that breathes is no surprise then.
	places, likeliest := trace(f.best, onsets, &f.by), f.best.again(onsets, &f.by).cost
	sum, beats := 0.0, make([]Place, len(onsets))
	for _, b := range breaths {
		for _, j := range jitters {
			by := manner{pace, b.share, j}
			w := f.best.again(onsets, &by)
			likely := math.Exp(math.Min(behind, likeliest-w.cost))
			sum += likely
			for k, p := range trace(w, onsets, &by) {
				beats[k].Beat += likely * p.Beat
				beats[k].Step += likely * p.Step
			}
		}
	}
	for k, p := range beats {
		places[k].Beat, places[k].Step = p.Beat/sum, p.Step/sum
	}
	return places
}

// again is a way by the same causes of one who plays in a manner; its cost is that of the
// onsets alone.
func (w *way) again(onsets []Onset, by *manner) *way {
	if w.back == nil {
		first := &way{state: begin(begins(onsets, by.pace), by)}
		if o := &onsets[0]; !math.IsNaN(o.T) {
			first.cost = first.see(o.T, variance(o, by.jitter))
		}
		return first
	}
	before := w.back.again(onsets[:len(onsets)-1], by)
	o, along := &onsets[len(onsets)-1], by.over(onsets[len(onsets)-1].X-onsets[len(onsets)-2].X)
	n := &way{state: before.changed(w.c, &along, by), cost: before.cost, back: before, c: w.c, off: w.off}
	switch {
	case math.IsNaN(o.T):
	case w.off:
		n.cost += n.price(o.T, sq(Astray))
	default:
		n.cost += n.see(o.T, variance(o, by.jitter))
	}
	return n
}

// follower seeks the likeliest manner of a player.
type follower struct {
	onsets  []Onset
	pace    float64
	breath  int // of breaths
	best    *way
	by      manner
	least   float64
	scatter int // of jitters, the likeliest so far
}

// climb goes from a scatter in steps while it grows likelier, and says whether it did.
func (f *follower) climb(from, by int, here float64) (better bool) {
	for j := from + by; j >= 0 && j < len(jitters); j += by {
		there := f.search(j)
		if there > here {
			break
		}
		here, better = there, true
	}
	return better
}

// search gives what the least-cost way costs with a scatter.
func (f *follower) search(j int) float64 {
	breath := breaths[f.breath]
	by := manner{f.pace, breath.share, jitters[j]}
	w := search(f.onsets, &by)
	if cost := w.cost + breath.price; cost < f.least {
		f.best, f.by, f.least, f.scatter = w, by, cost, j
	}
	return w.cost
}

// begins is about when the first of some onsets came.
func begins(onsets []Onset, pace float64) float64 {
	for k := range onsets {
		if o := &onsets[k]; !math.IsNaN(o.T) {
			return o.T - (o.X-onsets[0].X)*pace
		}
	}
	return 0
}

func variance(o *Onset, jitter float64) float64 { return sq(jitter) + sq(o.Soft) }

// step is one way further than those so far. What it costs is known before its onset is
// taken along, which is done for the few that are kept.
type step struct {
	from *way
	beat *state // as it was to be here
	cost float64
	c    change
	off  bool
	last last
}

// most is how many states the ways are in before an onset: each as it goes on by itself,
// and those that may change at another pace, and at the take's own again.
const most = beam + 2*turning

// search finds the least-cost way of one who plays in a manner.
func search(onsets []Onset, by *manner) *way {
	first := way{state: begin(begins(onsets, by.pace), by), last: last{-1, -1, -1}}
	if o := &onsets[0]; !math.IsNaN(o.T) {
		first.cost = first.see(o.T, variance(o, by.jitter))
	}
	var left pool
	var steps []step
	var beats [most]state
	ways := []*way{&first}
	for k := 1; k < len(onsets); k++ {
		o, along := &onsets[k], by.over(onsets[k].X-onsets[k-1].X)
		steps = steps[:0]
		seen := variance(o, by.jitter)
		for r, w := range ways {
			s := step{from: w, beat: &beats[r], cost: w.cost, last: w.last}
			along.carry(&w.state, s.beat)
			if math.IsNaN(o.T) {
				steps = append(steps, s)
				continue
			}
			// A beat put off and at once put back is where it was: that is an onset off by
			// itself, however far, and no dearer than the two.
			off, astray := s, s.beat.price(o.T, sq(Astray))
			off.cost += math.Min(priceOff+astray, 2*priceJump+s.beat.price(o.T, sq(PutOff)))
			off.off, off.last.off = true, k
			steps = append(steps, off)
			for c := change(0); c <= jump|back; c++ {
				if c != 0 && r >= turning || c > back && r > 0 {
					break
				}
				if c == another|back {
					continue
				}
				s := s
				s.c = c
				if c&(another|back) != 0 {
					s.beat = &beats[beam+2*r]
					if c&back != 0 {
						s.beat = &beats[beam+2*r+1]
					}
					if c&jump == 0 {
						turned := w.turned(c, by)
						along.carry(&turned, s.beat)
					}
					s.last.turned = k
					if onsets[k-1].Turns {
						s.cost += priceTurn
					} else {
						s.cost += priceAnother
					}
				}
				put := 0.0
				if c&jump != 0 {
					put, s.last.jumped = sq(PutOff), k
					if !o.Waits {
						s.cost += priceJump
					}
				}
				s.cost += s.beat.price(o.T, put+seen)
				steps = append(steps, s)
			}
		}
		before := ways
		ways = left.best(steps, k)
		for _, w := range ways {
			if o := &onsets[k]; !w.off && !math.IsNaN(o.T) {
				if w.c&jump != 0 {
					w.p[at][at] += sq(PutOff)
				}
				w.see(o.T, seen)
			}
		}
		for _, w := range before {
			left.leave(w)
		}
	}
	return ways[0]
}

// pool are ways that lead no further, to be used again: most do within a few onsets, and
// what is kept of a long take is hardly more than one way through it.
type pool []*way

// of makes a way of a step.
func (p *pool) of(s *step) *way {
	if len(*p) == 0 {
		*p = append(*p, new(way))
	}
	last := len(*p) - 1
	w := (*p)[last]
	*p, *w = (*p)[:last], way{state: *s.beat, cost: s.cost, back: s.from, c: s.c, off: s.off, last: s.last}
	w.back.on++
	return w
}

// leave gives back a way that nothing goes on from, and those that led to it alone.
func (p *pool) leave(w *way) {
	for w != nil && w.on == 0 {
		*p = append(*p, w)
		if w = w.back; w != nil {
			w.on--
		}
	}
}

// offForgotten is how many onsets back one off the beat still tells two ways apart.
const offForgotten = 3

// best gives the ways that lead, in order, one for each set of last changes.
func (p *pool) best(steps []step, k int) []*way {
	var lead [beam]*step
	n := 0
	for i := range steps {
		s := &steps[i]
		s.last.off = max(s.last.off, k-offForgotten)
		if n == beam && s.cost >= lead[n-1].cost {
			continue
		}
		place := n
		for place > 0 && s.cost < lead[place-1].cost {
			place--
		}
		same := slices.IndexFunc(lead[:n], func(o *step) bool { return o.last == s.last })
		switch {
		case same >= 0 && same < place:
			continue
		case same < 0 && n < beam:
			same, n = n, n+1
		case same < 0:
			same = n - 1
		}
		copy(lead[place+1:same+1], lead[place:same])
		lead[place] = s
	}
	kept := make([]*way, 0, n)
	for _, s := range lead[:n] {
		if s.cost > lead[0].cost+behind {
			break
		}
		kept = append(kept, p.of(s))
	}
	return kept
}

// trace goes back along a way, and says of each onset what is known from all of them.
func trace(end *way, onsets []Onset, by *manner) []Place {
	n := len(onsets)
	along := make([]*way, n)
	for w, k := end, n-1; k >= 0; w, k = w.back, k-1 {
		along[k] = w
	}
	smooth := make([]state, n)
	smooth[n-1] = along[n-1].state
	for k := n - 2; k >= 0; k-- {
		f, c, s := by.over(onsets[k+1].X-onsets[k].X), along[k+1].c, &along[k].state
		predicted, across := s.changed(c, &f, by), s.across(c, &f)
		smooth[k] = s.from(&across, &predicted, &smooth[k+1])
	}
	places := make([]Place, n)
	for k := range places {
		w, s := along[k], &smooth[k]
		p := &places[k]
		p.Beat, p.Rate = s.x[at], s.x[goes]+s.x[breath]
		if k+1 < n && along[k+1].c&(another|back) != 0 {
			p.Rate = smooth[k+1].x[goes] + smooth[k+1].x[breath]
		}
		p.Off, p.Another = w.off, w.c&(another|back) != 0
		switch {
		case w.c&jump != 0:
			f := by.over(onsets[k].X - onsets[k-1].X)
			p.Beat = f.of(smooth[k-1].x)[at]
			p.Step = s.x[at] - p.Beat
		case !math.IsNaN(onsets[k].T) && !w.off: // without itself
			v := variance(&onsets[k], by.jitter)
			if own := s.p[at][at] / v; own < mostOwn {
				p.Beat = onsets[k].T - (onsets[k].T-s.x[at])/(1-own)
			}
		}
	}
	return places
}

// mostOwn is how much of what is known of the beat at an onset may be known from itself,
// for it to be held against the others.
const mostOwn = 0.9
