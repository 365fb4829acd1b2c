package align

import (
	"cmp"
	"math"
	"slices"
)

// trellis is the search for the least-cost way: dynamic programming with a beam, note
// heard by note heard. A row holds what a note heard may be. Ways go to a cell from
// cells of the maxExtras rows before, or land there from the best cell so far: as all
// landings cost the same it does not matter from where (E. Nakamura, T. Nakamura,
// Y. Saito, N. Ono and S. Sagayama, "Outer-product hidden Markov model and polyphonic
// MIDI score following", J. New Music Research 43, 2014).
type trellis struct {
	*model
	rows     [][]cell
	best     []foothold // of each row
	away     foothold   // from where a landing is cheapest, notes put in since counted
	end      foothold   // where the way ends
	extras   []float64  // cost of putting in all notes before one
	missing  []float64  // cost of leaving out all notes before one
	arrivals []cell     // at the row that is filled, by note of the line
	arrived  []int32    // the notes of the line that have one
}

// cell says that note j is note i of the line, at the least cost so far, and
// which cell came before.
type cell struct {
	i        int32
	fromJ    int32 // -1: the first
	fromCell int32
	jump     bool
	cost     float64
}

// foothold is a cell, by its row and place there, and what it costs to be there.
type foothold struct {
	cost float64
	j    int // -1 for none
	cell int32
}

// nowhere is that there is no way yet.
var nowhere = foothold{cost: math.Inf(1), j: -1}

// align finds the least-cost way, nil for none.
func (m *model) align() *way {
	t := newTrellis(m)
	for j := range m.heard {
		t.fill(j)
	}
	if t.end.j < 0 {
		return nil
	}
	return t.back()
}

func newTrellis(m *model) *trellis {
	n, size := len(m.heard), len(m.line)
	m.rings = make([]bool, n)
	for j := range m.rings {
		m.rings[j] = m.ringsOn(j) || m.ringMasked(j)
	}
	t := &trellis{model: m, rows: make([][]cell, n), best: make([]foothold, n), away: nowhere, end: nowhere,
		extras: make([]float64, n+1), missing: make([]float64, size+1), arrivals: make([]cell, size)}
	for j := range m.heard {
		t.extras[j+1] = t.extras[j] + m.extra(j)
	}
	for i := range m.line {
		t.missing[i+1] = t.missing[i] + m.missing(i)
		t.arrivals[i].cost = math.Inf(1)
	}
	return t
}

// fill makes the row of note j: what arrives there, begins there, or lands there.
func (t *trellis) fill(j int) {
	for k := max(0, j-maxExtras); k < j; k++ {
		t.arriveFrom(k, j)
	}
	t.land(j)
	slices.Sort(t.arrived)
	row := make([]cell, 0, len(t.arrived))
	least := math.Inf(1)
	for _, i := range t.arrived {
		c := &t.arrivals[i]
		c.i = i
		c.cost += t.pitchCost(int(i), j) - matchReward
		least = math.Min(least, c.cost)
		row = append(row, *c)
		c.cost = math.Inf(1)
	}
	t.arrived = t.arrived[:0]
	t.rows[j] = pruned(row, least+beamWidth)
	t.best[j] = foothold{cost: math.Inf(1), j: -1}
	after := outside(len(t.heard) - 1 - j)
	for k := range t.rows[j] {
		c := &t.rows[j][k]
		if c.cost < t.best[j].cost {
			t.best[j] = foothold{c.cost, j, int32(k)}
		}
		end := c.cost + after
		if i := int(c.i); i < len(t.line)-1 {
			end += part(t.missing[len(t.line)] - t.missing[i+1])
		}
		if end < t.end.cost {
			t.end = foothold{end, j, int32(k)}
		}
	}
}

// pruned keeps the cells up to a cost, the cheapest beamCells where they are more.
func pruned(row []cell, most float64) []cell {
	row = slices.DeleteFunc(row, func(c cell) bool { return c.cost > most })
	if len(row) > beamCells {
		slices.SortFunc(row, func(a, b cell) int { return cmp.Or(cmp.Compare(a.cost, b.cost), cmp.Compare(a.i, b.i)) })
		row = row[:beamCells]
		slices.SortFunc(row, func(a, b cell) int { return cmp.Compare(a.i, b.i) })
	}
	return slices.Clip(row)
}

// arrive takes a way to note i of the line in where it is cheaper than those before it.
func (t *trellis) arrive(i int, c cell) {
	a := &t.arrivals[i]
	if c.cost >= a.cost {
		return
	}
	if math.IsInf(a.cost, 1) {
		t.arrived = append(t.arrived, int32(i))
	}
	*a = c
}

// arriveFrom goes on from the row of note k to note j, those between put in.
func (t *trellis) arriveFrom(k, j int) {
	put := t.extras[j] - t.extras[k+1]
	for at := range t.rows[k] {
		c := &t.rows[k][at]
		i := int(c.i)
		for ni := i + 1; ni <= min(len(t.line)-1, i+maxMissing); ni++ {
			cost := c.cost + put + t.missing[ni] - t.missing[i+1]
			if cost < t.arrivals[ni].cost {
				t.arrive(ni, cell{fromJ: int32(k), fromCell: int32(at), cost: cost + t.timeCost(i, ni, k, j)})
			}
		}
	}
}

// land begins the way at note j, or goes on there from the best row before, whatever
// came in between: back or ahead.
func (t *trellis) land(j int) {
	if j > 0 {
		t.away.cost += t.extra(j - 1)
		if t.best[j-1].cost < t.away.cost {
			t.away = t.best[j-1]
		}
	}
	landing := func(i int) {
		if t.pitchCost(i, j) >= landingCost {
			return
		}
		start := outside(j)
		if i > 0 {
			start += part(t.missing[i])
		}
		t.arrive(i, cell{fromJ: -1, cost: start})
		if t.away.j < 0 {
			return
		}
		jump := t.away.cost + jumpCost
		if !startsMeasure(t.line, i) {
			jump += jumpInside
		}
		t.arrive(i, cell{fromJ: int32(t.away.j), fromCell: t.away.cell, jump: true, cost: jump})
	}
	last := 0
	if t.away.j >= 0 {
		last = int(t.rows[t.away.j][t.away.cell].i)
	}
	for _, i := range t.fitting(j, last) {
		landing(i)
	}
	for _, i := range t.arrived {
		landing(int(i))
	}
}

// back traces the way from its end.
func (t *trellis) back() *way {
	w := &way{model: t.model, cost: t.end.cost}
	for j, k := t.end.j, t.end.cell; j >= 0; {
		c := t.rows[j][k]
		w.steps = append(w.steps, step{i: int(c.i), j: j, jump: c.jump})
		j, k = int(c.fromJ), c.fromCell
	}
	slices.Reverse(w.steps)
	return w
}

// outside is the cost of so many notes before the first or after the last.
func outside(notes int) float64 { return math.Min(outsideMost, outsideCost*float64(notes)) }

// part is the cost of playing a part of the line only, by what it would cost to leave
// out the notes of the rest.
func part(missing float64) float64 { return math.Min(partCost, lateStart+missing/lateShare) }
