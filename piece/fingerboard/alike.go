package fingerboard

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"endpin/piece"
)

// stretch is the layers of one measure of the line, the last one not included.
type stretch struct{ from, to int }

// alike ties the measures that are equal, with an equal way in and out, to one
// fingering, as a player learns them, and gives layers in which nothing else is
// left to choose there. Of the fingerings found in any of them the one is taken
// that costs least in all of them together. Measures that are equal but for
// standing elsewhere on the neck are tied too, where that costs little.
func (k *costing) alike(in Instrument, line []piece.Expected, all []choices, layers []layer, path []int) []layer {
	groups := map[string][]stretch{}
	var order []string // so that what is taken does not hang on the map
	for from := 0; from < len(layers); {
		to := from + 1
		for to < len(layers) && sameMeasure(line, layers[from].note, layers[to].note) {
			to++
		}
		key := written(line, all, layers, from, to)
		if groups[key] == nil {
			order = append(order, key)
		}
		groups[key] = append(groups[key], stretch{from, to})
		from = to
	}
	tied := slices.Clone(layers)
	for _, key := range order {
		if group := groups[key]; len(group) > 1 {
			k.tie(in, line, layers, path, group, tied)
		}
	}
	return tied
}

func sameMeasure(line []piece.Expected, a, b int) bool {
	return line[a].Measure == line[b].Measure && line[a].Pass == line[b].Pass && line[b].Onset-line[a].Onset < 64*piece.Quarter
}

// written spells out a measure with the note before and the note after, pitches
// counted from its first note.
func written(line []piece.Expected, all []choices, layers []layer, from, to int) string {
	var b strings.Builder
	first := line[layers[from].note].MIDI
	for i := max(0, from-1); i < min(len(layers), to+1); i++ {
		n := &line[layers[i].note]
		if i < from || i == to {
			fmt.Fprint(&b, i-from, ":")
		}
		m := n.Marks
		m.Bow = piece.NoBow
		fmt.Fprint(&b, n.MIDI-first, ",", layers[i].step.rest, ",", n.Slurred, ",", n.Beat, ",", m, all[layers[i].note].standing)
		if i < to {
			fmt.Fprint(&b, ",", n.Length)
		}
		b.WriteByte('|')
	}
	return b.String()
}

// shape is a fingering of a measure that stands on one pitch.
type shape struct {
	on    int // the pitch of the first note
	stops []stop
}

// tie chooses for the measures of a group and leaves in tied what was chosen.
func (k *costing) tie(in Instrument, line []piece.Expected, layers []layer, path []int, group []stretch, tied []layer) {
	on := func(s stretch) int { return line[layers[s.from].note].MIDI }
	var shapes []shape
	for _, s := range group {
		found := shape{on: on(s)}
		for i := s.from; i < s.to; i++ {
			found.stops = append(found.stops, layers[i].states[path[i]].stop)
		}
		known, same := false, false // its pitch, and the fingering itself
		for _, o := range shapes {
			known = known || o.on == found.on
			same = same || o.on == found.on && slices.Equal(o.stops, found.stops)
		}
		if !same && (!known || len(shapes) < mostShapes) {
			shapes = append(shapes, found)
		}
	}
	costs := make([][]float64, len(shapes)) // of each shape in each measure
	moved := make([][][]stop, len(shapes))
	for f := range shapes {
		costs[f], moved[f] = make([]float64, len(group)), make([][]stop, len(group))
		for g, s := range group {
			moved[f][g] = in.along(shapes[f], on(s))
			costs[f][g] = k.through(layers, s, moved[f][g])
		}
	}
	cheapest := func(which func(g int) bool) (best int, least float64) {
		least = math.Inf(1)
		for f := range shapes {
			sum := 0.0
			for g := range group {
				if which(g) {
					sum += costs[f][g]
				}
			}
			if sum < least {
				best, least = f, sum
			}
		}
		return best, least
	}
	every, together := cheapest(func(int) bool { return true })
	apart, own := map[int]int{}, 0.0 // by the pitch they stand on
	for g, s := range group {
		if _, known := apart[on(s)]; !known {
			best, least := cheapest(func(o int) bool { return on(group[o]) == on(group[g]) })
			apart[on(s)] = best
			own += least
		}
	}
	for g, s := range group {
		f := apart[on(s)]
		if together-own < closeCost*float64(len(group)) {
			f = every
		}
		for i := s.from; i < s.to; i++ {
			l := tied[i]
			l.states = slices.DeleteFunc(slices.Clone(l.states), func(st state) bool { return st.stop != moved[f][g][i-s.from] })
			tied[i] = l
		}
	}
}

// mostShapes is how many fingerings of one measure are weighed against each
// other, so that a long part takes its time in proportion; besides them one of each
// pitch, since another pitch's may not be played there.
const mostShapes = 8

// along is a shape moved along the neck to another pitch: the same fingers on the
// same strings. It is nil where an open string or the end of the neck forbids it.
func (in Instrument) along(s shape, on int) []stop {
	by := on - s.on
	if by == 0 {
		return s.stops
	}
	stops := slices.Clone(s.stops)
	for i := range stops {
		st := &stops[i]
		if !st.stopped() {
			return nil
		}
		table := in.System.Positions
		place := slices.IndexFunc(table, func(p Position) bool {
			return p.At == table[st.place].At+by && slices.ContainsFunc(p.Hand, func(f Finger) bool {
				return f.Name == st.finger && p.At+f.Above == st.semitones+by && f.How == st.use
			})
		})
		if place < 0 {
			return nil
		}
		st.place, st.semitones = place, st.semitones+by
	}
	return stops
}

// through is the cost of the cheapest way of the whole line that takes these
// stops in a measure.
func (k *costing) through(layers []layer, s stretch, stops []stop) float64 {
	if stops == nil {
		return math.Inf(1)
	}
	var before []int // the states of the layer before
	var spent []float64
	for i := s.from; i < s.to; i++ {
		l := &layers[i]
		var here []int
		var cost []float64
		for j := range l.states {
			b := &l.states[j]
			if b.stop != stops[i-s.from] {
				continue
			}
			best := math.Inf(1)
			switch {
			case i == 0:
				best = k.opening(b)
			case i == s.from:
				for h := range layers[i-1].states {
					if a := &layers[i-1].states[h]; layers[i-1].cost[h] < best && reachable(a, b) {
						best = min(best, layers[i-1].cost[h]+k.between(a, b, l.step)+b.own)
					}
				}
			default:
				for n, h := range before {
					if a := &layers[i-1].states[h]; reachable(a, b) {
						best = min(best, spent[n]+k.between(a, b, l.step)+b.own)
					}
				}
			}
			here, cost = append(here, j), append(cost, best)
		}
		before, spent = here, cost
	}
	least := math.Inf(1)
	for n, h := range before {
		least = min(least, spent[n]+layers[s.to-1].ahead[h])
	}
	return least
}
