package align

import (
	"math"
	"slices"
)

// trellis is the search for the least-cost way: dynamic programming with a beam, note
// heard by note heard. A row holds what a note heard may be. Ways go to a cell from
// cells of the maxExtras rows before, or land there from the best cell so far: as all
// places left cost the same it does not matter which it was (E. Nakamura, T. Nakamura,
// Y. Saito, N. Ono and S. Sagayama, "Outer-product hidden Markov model and polyphonic
// MIDI score following", J. New Music Research 43, 2014). A row is no longer than the
// beam, however long the line, so time and memory grow with the notes heard.
type trellis struct {
	*model
	footing
	rows     [][]cell
	best     []foothold // of each row
	arrivals []cell     // at the row that is filled, by note of the line
	arrived  []int32    // the notes of the line that have one
	row      []cell     // that is filled
}

// footing is how a search stands between two notes heard.
type footing struct {
	away, lost foothold // from where the notes to come are landed at: see leave
	end        foothold // where the way ends
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

// trellis begins a search.
func (m *model) trellis() *trellis {
	t := &trellis{model: m, footing: footing{nowhere, nowhere, nowhere}, rows: make([][]cell, 0, len(m.heard)), arrivals: make([]cell, len(m.line))}
	for i := range t.arrivals {
		t.arrivals[i].cost = math.Inf(1)
	}
	return t
}

// align finds the least-cost way, nil for none.
func (m *model) align() *way {
	t := m.trellis()
	for j := range m.heard {
		t.fill(j)
	}
	if t.end.j < 0 {
		return nil
	}
	return t.back(t.end)
}

// fill makes the row of note j: what arrives there, begins there, or lands there.
func (t *trellis) fill(j int) {
	for k := max(0, j-maxExtras); k < j; k++ {
		t.arriveFrom(k, j)
	}
	t.land(j)
	slices.Sort(t.arrived)
	row, least := t.row[:0], math.Inf(1)
	for _, i := range t.arrived {
		c := t.arrivals[i]
		t.arrivals[i].cost = math.Inf(1)
		c.i = i
		c.cost += t.pitchCost(int(i), j) - matchReward
		least = math.Min(least, c.cost)
		row = append(row, c)
	}
	t.row, t.arrived = row, t.arrived[:0]
	row = beam(row, least)
	best := nowhere
	for k := range row {
		if c := &row[k]; c.cost < best.cost {
			best = foothold{c.cost, j, int32(k)}
		}
	}
	t.rows, t.best = append(t.rows, row), append(t.best, best)
	t.finish(j)
}

// beam keeps of a row what lies within the beam's width of the best, and no more than
// beamCells or so: the width is narrowed in steps.
func beam(row []cell, least float64) []cell {
	var within [beamSteps]int
	step := func(c *cell) int { return int((c.cost - least) * beamSteps / beamWidth) }
	for k := range row {
		if s := step(&row[k]); s < beamSteps {
			within[s]++
		}
	}
	steps, n := 0, 0
	for steps < beamSteps && (n == 0 || n+within[steps] <= beamCells) {
		n += within[steps]
		steps++
	}
	return slices.Clone(slices.DeleteFunc(row, func(c cell) bool { return step(&c) >= steps }))
}

// arrive takes in a way to note i of the line where it is cheaper than those before it.
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
		for to := i + 1; to <= min(len(t.line)-1, i+maxMissing); to++ {
			cost := c.cost + put + t.leftOut(i, to)
			if cost < t.arrivals[to].cost {
				t.arrive(to, cell{fromJ: int32(k), fromCell: int32(at), cost: cost + t.timeCost(i, to, k, j)})
			}
		}
	}
}

// finish ends the way at note j where that is cheapest so far.
func (t *trellis) finish(j int) {
	after := outsideCost * float64(len(t.heard)-1-j)
	for k := range t.rows[j] {
		c := &t.rows[j][k]
		end := c.cost + after
		switch i := int(c.i); {
		case i == len(t.line)-1:
		case t.endsPage(i):
			end += pageCost
		default:
			end += part(t.leftOut(i, len(t.line)))
		}
		if end < t.end.cost {
			t.end = foothold{end, j, int32(k)}
		}
	}
}

// back traces the way to where it ends.
func (t *trellis) back(end foothold) *way {
	w := &way{model: t.model, cost: end.cost}
	for j, k := end.j, end.cell; j >= 0; {
		c := t.rows[j][k]
		w.steps = append(w.steps, step{i: int(c.i), j: j, jump: c.jump})
		j, k = int(c.fromJ), c.fromCell
	}
	slices.Reverse(w.steps)
	return w
}

// part is the cost of playing a part of the line only, by what it would cost to leave
// out the notes of the rest.
func part(missing float64) float64 { return math.Min(partCost, lateStart+missing/lateShare) }
