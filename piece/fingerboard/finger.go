package fingerboard

import (
	"math"

	"endpin/piece"
)

// Options are what a player may use and what is known of the playing.
type Options struct {
	Positions     []string // position tokens allowed; empty for all. Marks in the line may go beyond them
	NoOpenStrings bool     // every note that can be stopped is
	QPM           float64  // quarter notes a minute; 0 where not known
	Costs         *Costs   // nil for DefaultCosts
}

// closeCost is how much dearer, in the unit of Costs, a fingering without a shift
// may be and still be what a player might well have done: as much as a shift by
// a semitone. Common practice, no source.
const closeCost = 0.75

// layer is one playable note of the line with all its states.
type layer struct {
	note   int
	step   step // from the layer before
	states []state
	cost   []float64 // of the cheapest way from the first note to each state
	from   []int32   // the state before on that way
	ahead  []float64 // of the cheapest way from each state to the last note
}

// Finger finds the cheapest way to play a line: a string, position and finger
// for each note, marks obeyed. Time and memory grow in proportion to the line.
//
// It is a shortest path through one layer of states a note, by dynamic
// programming (Viterbi's recursion), so no cheaper way exists under the same costs.
func (in Instrument) Finger(line []piece.Expected, o Options) Plan {
	plan := Plan{Notes: make([]Fingered, len(line))}
	costs := DefaultCosts()
	if o.Costs != nil {
		costs = *o.Costs
	}
	k := newCosting(in, costs)
	all := in.choose(line, o, &plan)
	layers := k.layers(in, line, all, o.QPM)
	k.forward(layers)
	k.backward(layers)
	path := cheapest(layers)
	for i := range plan.Notes {
		plan.Notes[i] = Fingered{Off: true, Frame: -1}
	}
	for i := range layers {
		l := &layers[i]
		plan.Notes[l.note] = in.fingered(l.states[path[i]].stop, line[l.note].Marks, all[l.note])
	}
	if len(layers) > 0 {
		last := len(layers) - 1
		plan.Cost = layers[last].cost[path[last]]
	}
	in.frames(&plan, line, all, layers, path, &k)
	return plan
}

// layers spreads out the states of every playable note. Over an open string or
// a harmonic the hand stays where it may have been on the note before.
func (k *costing) layers(in Instrument, line []piece.Expected, all []choices, qpm float64) []layer {
	layers := make([]layer, 0, len(line))
	hands := []int{nowhere}
	for i, c := range all {
		if len(c.stops) == 0 {
			continue
		}
		l := layer{note: i}
		if len(layers) > 0 {
			l.step = stepBetween(line, layers[len(layers)-1].note, i, qpm, k.held(c.stops))
		}
		l.states = make([]state, 0, len(c.stops)+len(hands))
		for _, s := range c.stops {
			own := k.alone(s)
			if !s.stopped() {
				for _, h := range hands {
					l.states = append(l.states, state{s, h, own})
				}
				continue
			}
			if c.standing != "" && in.System.Positions[s.place].Token != c.standing {
				own += k.LeaveMark
			}
			l.states = append(l.states, state{s, s.place, own})
		}
		hands = handsOf(l.states, len(in.System.Positions))
		layers = append(layers, l)
	}
	return layers
}

// handsOf lists where the hand may be after a note, each place once.
func handsOf(states []state, places int) []int {
	seen := make([]bool, places+1)
	var hands []int
	for _, s := range states {
		if !seen[s.hand+1] {
			seen[s.hand+1] = true
			hands = append(hands, s.hand)
		}
	}
	return hands
}

// reachable reports whether the hand can be at b's place after a: an open
// string and a harmonic leave it where it was.
func reachable(a, b *state) bool { return b.stopped() || a.hand == b.hand }

func (k *costing) forward(layers []layer) {
	for i := range layers {
		l := &layers[i]
		l.cost = make([]float64, len(l.states))
		l.from = make([]int32, len(l.states))
		for j := range l.states {
			b := &l.states[j]
			if i == 0 {
				l.cost[j] = k.opening(b)
				continue
			}
			before := &layers[i-1]
			best, from := math.Inf(1), 0
			for h := range before.states {
				if before.cost[h] >= best || !reachable(&before.states[h], b) {
					continue
				}
				if c := before.cost[h] + k.between(&before.states[h], b, l.step); c < best {
					best, from = c, h
				}
			}
			l.cost[j], l.from[j] = best+b.own, int32(from)
		}
	}
}

func (k *costing) backward(layers []layer) {
	for i := len(layers) - 1; i >= 0; i-- {
		l := &layers[i]
		l.ahead = make([]float64, len(l.states))
		if i == len(layers)-1 {
			continue
		}
		after := &layers[i+1]
		for j := range l.states {
			best := math.Inf(1)
			for h := range after.states {
				b := &after.states[h]
				rest := after.ahead[h] + b.own
				if rest >= best || !reachable(&l.states[j], b) {
					continue
				}
				best = min(best, rest+k.between(&l.states[j], b, after.step))
			}
			l.ahead[j] = best
		}
	}
}

// cheapest reads the cheapest way back from its end.
func cheapest(layers []layer) []int {
	path := make([]int, len(layers))
	for i := len(layers) - 1; i >= 0; i-- {
		if i == len(layers)-1 {
			for j, c := range layers[i].cost {
				if c < layers[i].cost[path[i]] {
					path[i] = j
				}
			}
			continue
		}
		path[i] = int(layers[i+1].from[path[i+1]])
	}
	return path
}

// unshifted is the cost of the cheapest way on which no shift leads to layer i:
// the hand is there already, is put down there first, or the note is open.
func (k *costing) unshifted(layers []layer, i int) float64 {
	best := math.Inf(1)
	before, l := &layers[i-1], &layers[i]
	for h := range before.states {
		a := &before.states[h]
		for j := range l.states {
			b := &l.states[j]
			if a.hand != b.hand && (a.hand != nowhere || !b.stopped()) {
				continue
			}
			best = min(best, before.cost[h]+k.between(a, b, l.step)+b.own+l.ahead[j])
		}
	}
	return best
}
