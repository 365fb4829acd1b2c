package align

import (
	"math"
	"slices"
)

// trellis is the search for the least-cost way: dynamic programming with a beam, note
// heard by note heard. A row holds what a note heard may be; ways go from a cell to
// cells of the next maxExtras rows, or jump from the best cell so far.
type trellis struct {
	*model
	rows     [][]cell
	arrivals [][]arrival // at the next rows, a ring
	extras   []float64   // cost of putting in all notes before one
	missing  []float64   // cost of leaving out all notes before one
	best     []foothold  // of each row
	jump     foothold    // from where a jump is cheapest, notes put in since counted
	end      foothold    // where the way ends
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

// arrival is the cheapest way to a cell.
type arrival struct {
	cost            float64
	fromJ, fromCell int32
}

// foothold is a cell, by its row and place there, and what it costs to be there.
type foothold struct {
	cost float64
	j    int // -1 for none
	cell int32
}

// align finds the least-cost way, nil for none.
func (m *model) align() *way {
	t := newTrellis(m)
	for j := range m.heard {
		t.fill(j)
		t.spread(j)
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
	none := foothold{cost: math.Inf(1), j: -1}
	t := &trellis{model: m, rows: make([][]cell, n), arrivals: make([][]arrival, maxExtras+1),
		extras: make([]float64, n+1), missing: make([]float64, size+1),
		best: make([]foothold, n), jump: none, end: none}
	for r := range t.arrivals {
		t.arrivals[r] = make([]arrival, size)
		reset(t.arrivals[r])
	}
	for j := range m.heard {
		t.extras[j+1] = t.extras[j] + m.extra(j)
	}
	for i := range m.line {
		t.missing[i+1] = t.missing[i] + m.missing(i)
	}
	return t
}

// fill makes the row of note j: what arrives there, begins there, or jumps there.
func (t *trellis) fill(j int) {
	if j > 0 { // from the best row before, whatever came in between
		t.jump.cost += t.extra(j - 1)
		if t.best[j-1].cost < t.jump.cost {
			t.jump = t.best[j-1]
		}
	}
	arrivals := t.arrivals[j%len(t.arrivals)]
	before := outside(j)
	row := make([]cell, 0, 32)
	best := foothold{cost: math.Inf(1), j: j}
	for i := range arrivals {
		a := arrivals[i]
		c := cell{i: int32(i), fromJ: a.fromJ, fromCell: a.fromCell, cost: a.cost}
		pitch := t.pitchCost(i, j)
		if pitch < landingCost {
			start := before
			if i > 0 {
				start += part(t.missing[i])
			}
			if start < c.cost {
				c.cost, c.fromJ = start, -1
			}
			if t.jump.j >= 0 {
				jump := t.jump.cost + jumpCost
				if !t.startsMeasure(i) {
					jump += jumpInside
				}
				if jump < c.cost {
					c.cost, c.fromJ, c.fromCell, c.jump = jump, int32(t.jump.j), t.jump.cell, true
				}
			}
		}
		if math.IsInf(c.cost, 1) || c.cost > best.cost+beamWidth {
			continue
		}
		c.cost += pitch - matchReward
		if c.cost < best.cost {
			best.cost, best.cell = c.cost, int32(len(row))
		}
		row = append(row, c)
	}
	t.rows[j], t.best[j] = row, best
	reset(arrivals)
}

// spread goes on from the row of note j: to the end, and to the rows after it.
func (t *trellis) spread(j int) {
	n, size := len(t.heard), len(t.line)
	after := outside(n - 1 - j)
	for k := range t.rows[j] {
		c := &t.rows[j][k]
		if c.cost > t.best[j].cost+beamWidth {
			continue
		}
		i := int(c.i)
		end := c.cost + after
		if i < size-1 {
			end += part(t.missing[size] - t.missing[i+1])
		}
		if end < t.end.cost {
			t.end = foothold{end, j, int32(k)}
		}
		for nj := j + 1; nj <= min(n-1, j+maxExtras); nj++ {
			to := t.arrivals[nj%len(t.arrivals)]
			put := c.cost + t.extras[nj] - t.extras[j+1]
			for ni := i + 1; ni <= min(size-1, i+maxMissing); ni++ {
				cost := put + t.missing[ni] - t.missing[i+1]
				if cost < to[ni].cost {
					if cost += t.timeCost(i, ni, j, nj); cost < to[ni].cost {
						to[ni] = arrival{cost, int32(j), int32(k)}
					}
				}
			}
		}
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

func reset(row []arrival) {
	for i := range row {
		row[i] = arrival{cost: math.Inf(1), fromJ: -1}
	}
}
