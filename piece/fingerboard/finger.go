package fingerboard

import (
	"cmp"
	"math"
	"slices"

	"endpin/piece"
)

// Options are what a player may use and what is known of the playing.
type Options struct {
	Positions     []string // position tokens allowed; empty for all. Marks in the line may go beyond them
	NoOpenStrings bool     // every note that can be stopped is
	QPM           float64  // quarter notes a minute; 0 for walking, where not known
}

// walking is the tempo of a line that tells none, quarter notes a minute.
// Common practice, no source.
const walking = 72

// closeCost is how much dearer, in the unit of Costs, a fingering without a shift
// may be and still be what a player might well have done: three quarters of a
// change of position. Common practice, no source.
const closeCost = 0.75

// layer is one playable note of the line with all its states.
type layer struct {
	note   int
	step   step // from the layer before
	states []state
	cost   []float64 // of the cheapest way from the first note to each state
	from   []int32   // the state before on that way
	ahead  []float64 // of the cheapest way from each state to the last note
	to     []int32   // the state after on that way
}

// FingerPart fingers the notes from..to-1 of a line as they are fingered in the whole of it,
// with the shifts of which both notes lie among them. What cannot be reached or obeyed is
// that of these notes; other fingerings are not looked for.
func (in Instrument) FingerPart(line []piece.Expected, from, to int, o Options) Plan {
	whole := in.Finger(line, o)
	if to-from == len(line) {
		return whole
	}
	part := in.Finger(line[from:to], o)
	part.Notes, part.Shifts, part.Others = slices.Clone(whole.Notes[from:to]), nil, nil
	first := 0 // of the frames
	if k := slices.IndexFunc(part.Notes, Fingered.Stopped); k >= 0 {
		first = part.Notes[k].Frame
	}
	for i := range part.Notes {
		if n := &part.Notes[i]; n.Stopped() {
			n.Frame -= first
		}
	}
	for _, s := range whole.Shifts {
		if s.Before >= from && s.Note < to {
			s.Note, s.Before, s.LastNote, s.Frame = s.Note-from, s.Before-from, min(s.LastNote, to-1)-from, s.Frame-first
			part.Shifts = append(part.Shifts, s)
		}
	}
	return part
}

// Finger finds the cheapest way to play a line: a string, position and finger
// for each note, marks obeyed. Time and memory grow in proportion to the line.
//
// It is a shortest path through one layer of states a note, by dynamic
// programming (Viterbi's recursion), so no cheaper way exists under the same
// costs, but that equal measures are fingered alike.
func (in Instrument) Finger(line []piece.Expected, o Options) Plan {
	plan := Plan{Notes: make([]Fingered, len(line))}
	k := newCosting(in)
	all := in.choose(line, o, &plan)
	layers := k.layers(in, line, all, o.QPM)
	k.forward(layers)
	k.backward(layers)
	free := cheapest(layers)
	tied := k.alike(in, line, all, layers, free)
	k.forward(tied)
	path := cheapest(tied)
	for i := range plan.Notes {
		plan.Notes[i] = Fingered{Off: true, Frame: -1}
	}
	for i := range layers {
		l := &tied[i]
		plan.Notes[l.note] = in.fingered(l.states[path[i]].stop, line[l.note].Marks, all[l.note])
	}
	if len(layers) > 0 {
		last := len(layers) - 1
		plan.Cost = tied[last].cost[path[last]]
		plan.least = layers[last].cost[free[last]]
	}
	in.frames(&plan, line, all, layers, tied, path, &k)
	return plan
}

// layers spreads out the states of every playable note. Over an open string or
// a harmonic the hand stays where it may have been on the note before.
func (k *costing) layers(in Instrument, line []piece.Expected, all []choices, qpm float64) []layer {
	if qpm == 0 {
		qpm = walking
	}
	layers := make([]layer, 0, len(line))
	hands := []int{nowhere}
	for i, c := range all {
		if len(c.stops) == 0 {
			continue
		}
		l := layer{note: i}
		if len(layers) > 0 {
			l.step = k.stepBetween(line, layers[len(layers)-1].note, i, qpm)
		}
		l.states = make([]state, 0, 3*len(c.stops)+len(hands))
		for _, s := range c.stops {
			own := k.alone(s)
			if !s.stopped() {
				for _, h := range hands {
					l.states = append(l.states, state{stop: s, hand: h, own: own})
				}
				continue
			}
			if c.standing != "" && in.System.Positions[s.place].Token != c.standing {
				own += unmarked
			}
			for moved := range min(len(layers), 2) + 1 {
				l.states = append(l.states, state{s, s.place, moved, own})
			}
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

// reachable reports whether b can follow a: an open string and a harmonic leave
// the hand where it was, and who presses elsewhere than before has moved.
func reachable(a, b *state) bool {
	if !b.stopped() {
		return a.hand == b.hand
	}
	return b.moved == moves(a, b)
}

func (k *costing) forward(layers []layer) {
	var order []int
	for i := range layers {
		l := &layers[i]
		l.cost = make([]float64, len(l.states))
		l.from = make([]int32, len(l.states))
		if i == 0 {
			for j := range l.states {
				l.cost[j] = k.opening(&l.states[j])
			}
			continue
		}
		before := &layers[i-1]
		order = cheapestFirst(order, len(before.states), func(h int) float64 { return before.cost[h] })
		for j := range l.states {
			b := &l.states[j]
			best, from := math.Inf(1), 0
			for _, h := range order {
				if before.cost[h] >= best {
					break // no way onward takes anything off
				}
				if !reachable(&before.states[h], b) {
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
	var order []int
	for i := len(layers) - 1; i >= 0; i-- {
		l := &layers[i]
		l.ahead = make([]float64, len(l.states))
		l.to = make([]int32, len(l.states))
		if i == len(layers)-1 {
			continue
		}
		after := &layers[i+1]
		rest := func(h int) float64 { return after.ahead[h] + after.states[h].own }
		order = cheapestFirst(order, len(after.states), rest)
		for j := range l.states {
			best := math.Inf(1)
			for _, h := range order {
				if rest(h) >= best {
					break
				}
				b := &after.states[h]
				if !reachable(&l.states[j], b) {
					continue
				}
				if c := rest(h) + k.between(&l.states[j], b, after.step); c < best {
					best, l.to[j] = c, int32(h)
				}
			}
			l.ahead[j] = best
		}
	}
}

// cheapestFirst orders so many states by what a way costs, those alike as they
// stand. It writes into the slice given.
func cheapestFirst(order []int, states int, cost func(int) float64) []int {
	order = order[:0]
	for h := range states {
		order = append(order, h)
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(cost(a), cost(b)) })
	return order
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
// the hand is there already, is put down there first, or the note is open. It
// goes through state from of the layer before and state to of this one.
func (k *costing) unshifted(layers []layer, i int) (best float64, from, to int) {
	best = math.Inf(1)
	before, l := &layers[i-1], &layers[i]
	for h := range before.states {
		a := &before.states[h]
		for j := range l.states {
			b := &l.states[j]
			if b.moved > 0 || !reachable(a, b) {
				continue
			}
			if c := before.cost[h] + k.between(a, b, l.step) + b.own + l.ahead[j]; c < best {
				best, from, to = c, h, j
			}
		}
	}
	return best, from, to
}
