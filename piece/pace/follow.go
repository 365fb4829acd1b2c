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
	var best *way
	var likeliest manner
	least := math.Inf(1)
	for _, breath := range breaths {
		before := math.Inf(1)
		for _, j := range jitters {
			by := manner{pace, breath.share, j}
			w := search(onsets, &by)
			if w.cost+breath.price < least {
				best, likeliest, least = w, by, w.cost+breath.price
			}
			if w.cost > before {
				break
			}
			before = w.cost
		}
	}
	return trace(best, onsets, &likeliest)
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

// search finds the least-cost way of one who plays in a manner.
func search(onsets []Onset, by *manner) *way {
	first := way{state: begin(begins(onsets, by.pace), by), last: last{-1, -1, -1}}
	if o := &onsets[0]; !math.IsNaN(o.T) {
		first.cost = first.see(o.T, variance(o, by.jitter))
	}
	var left pool
	ways, next := []*way{&first}, []way(nil)
	for k := 1; k < len(onsets); k++ {
		o := &onsets[k]
		dx := o.X - onsets[k-1].X
		next = next[:0]
		for r, w := range ways {
			n := way{state: w.over(dx, by), cost: w.cost, back: w, last: w.last}
			if math.IsNaN(o.T) {
				next = append(next, n)
				continue
			}
			off := n
			off.cost, off.off, off.last.off = off.cost+priceOff+off.price(o.T, sq(Astray)), true, k
			next = append(next, off)
			for c := change(0); c <= jump|back; c++ {
				if c != 0 && r >= turning || c > back && r > 0 {
					break
				}
				if c == another|back {
					continue
				}
				n := n
				if n.c = c; c != 0 {
					n.state = w.changed(c, dx, by)
				}
				if c&jump != 0 {
					n.last.jumped = k
					if !o.Waits {
						n.cost += priceJump
					}
				}
				if c&(another|back) != 0 {
					n.last.turned = k
					if onsets[k-1].Turns {
						n.cost += priceTurn
					} else {
						n.cost += priceAnother
					}
				}
				n.cost += n.see(o.T, variance(o, by.jitter))
				next = append(next, n)
			}
		}
		before := ways
		ways = left.best(next, k)
		for _, w := range before {
			left.leave(w)
		}
	}
	return ways[0]
}

// pool are ways that lead no further, to be used again: most do within a few onsets, and
// what is kept of a long take is hardly more than one way through it.
type pool []*way

// of makes a way of a candidate.
func (p *pool) of(n *way) *way {
	if len(*p) == 0 {
		*p = append(*p, new(way))
	}
	last := len(*p) - 1
	w := (*p)[last]
	*p, *w = (*p)[:last], *n
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
func (p *pool) best(ways []way, k int) []*way {
	least := math.Inf(1)
	for i := range ways {
		least = min(least, ways[i].cost)
	}
	order := make([]int32, 0, len(ways))
	for i := range ways {
		if ways[i].cost <= least+behind {
			order = append(order, int32(i))
		}
	}
	slices.SortFunc(order, func(a, b int32) int {
		if x, y := ways[a].cost, ways[b].cost; x < y {
			return -1
		} else if x > y {
			return 1
		}
		return int(a - b)
	})
	kept := make([]*way, 0, min(beam, len(order)))
	for _, i := range order {
		w := &ways[i]
		w.last.off = max(w.last.off, k-offForgotten)
		if len(kept) == beam {
			break
		}
		if !slices.ContainsFunc(kept, func(o *way) bool { return o.last == w.last }) {
			kept = append(kept, p.of(w))
		}
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
		dx, c, s := onsets[k+1].X-onsets[k].X, along[k+1].c, &along[k].state
		predicted, across := s.changed(c, dx, by), s.across(c, dx)
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
			before := smooth[k-1].over(onsets[k].X-onsets[k-1].X, by)
			p.Beat = before.x[at]
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
