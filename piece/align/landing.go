package align

import (
	"cmp"
	"math"
	"slices"
)

// A player may go back, or on, to any note. Not every note of a long line is tried for
// each that is heard: notes and starts of measures near the player always, others where
// three notes of four that follow are of the pitches of three heard, as a passage is
// looked up in a long text; and of all these the ones that what is heard next fits best.

// Chosen by the time it takes and by made-up takes (following_test.go).
const (
	nearNotes    = 12 // to each side of the player that are always tried …
	nearMeasures = 8  // and measures whose first notes are
	alikeMost    = 24 // places of the same three notes that are looked at, those nearest the player
	aheadNotes   = 8  // heard that tell how well a place fits
	landingsMost = 16 // places that are gone on from
)

// landings gives the places that note j may be, for a player who was last at a note of
// the line.
func (m *model) landings(j, last int) []int {
	found := make([]int, 0, 2*(nearNotes+nearMeasures+1)+len(gaps)*alikeMost)
	for i := max(0, last-nearNotes); i <= min(len(m.line)-1, last+nearNotes); i++ {
		found = append(found, i)
	}
	at := m.measure[last]
	found = append(found, m.starts[max(0, at-nearMeasures):min(len(m.starts), at+nearMeasures+1)]...)
	for _, g := range gaps {
		if j+g[1] < len(m.heard) {
			found = m.alike(found, threePitches(m.nearest(j), m.nearest(j+g[0]), m.nearest(j+g[1])), last)
		}
	}
	found = slices.DeleteFunc(found, func(i int) bool { return m.pitchCost(i, j) >= landingCost })
	slices.Sort(found)
	found = slices.Compact(found)
	if len(found) <= landingsMost {
		return found
	}
	type fit struct {
		i    int
		cost float64
	}
	fits := make([]fit, len(found))
	for k, i := range found {
		fits[k] = fit{i, m.ahead(i, j)}
	}
	slices.SortFunc(fits, func(a, b fit) int {
		return cmp.Or(cmp.Compare(a.cost, b.cost), m.distance(a.i, last)-m.distance(b.i, last), a.i-b.i)
	})
	for k := range landingsMost {
		found[k] = fits[k].i
	}
	return found[:landingsMost]
}

// nearest is the pitch of the line that note j most likely is.
func (m *model) nearest(j int) int {
	return int(math.Round(m.heard[j].Pitch - m.tuning - m.octave))
}

// ahead is what the pitches heard next cost, roughly, where note j is note i of the
// line: one more or less is gone over.
func (m *model) ahead(i, j int) float64 {
	cost := 0.0
	for q := j + 1; q < min(len(m.heard), j+aheadNotes); q++ {
		i++
		c := m.pitchAt(i, q)
		if c >= landingCost {
			if m.pitchAt(i+1, q) < landingCost {
				i++
			} else if m.pitchAt(i, q+1) < landingCost {
				i--
			}
		}
		cost += c
	}
	return cost
}

// pitchAt is what a pitch costs, as that of another note beyond either end.
func (m *model) pitchAt(i, j int) float64 {
	if i >= len(m.line) || j >= len(m.heard) {
		return wrongCost
	}
	return m.pitchCost(i, j)
}

// land begins the way at note j, or goes on there from the best row before, whatever
// came in between.
func (t *trellis) land(j int) {
	last := t.leave(j)
	for _, i := range t.landings(j, last) {
		t.landAt(i, j)
	}
	for _, on := range t.onward[last] {
		t.landAt(on.to, j)
	}
	for k := range t.arrived {
		t.landAt(int(t.arrived[k]), j)
	}
}

// leave finds where to go to note j from: a few notes put in, or, where the player
// could not be followed, any number. It gives the note of the line that he was at.
func (t *trellis) leave(j int) (last int) {
	if j > 0 {
		t.away.cost += t.extraAt(j - 1)
		t.lost.cost += outsideCost
		if best := t.best[j-1]; best.j >= 0 {
			if best.cost < t.away.cost {
				t.away = best
			}
			if best.cost+lostCost < t.lost.cost {
				t.lost = foothold{best.cost + lostCost, best.j, best.cell}
			}
		}
		if t.lost.cost < t.away.cost {
			t.away = t.lost
		}
	}
	if t.away.j < 0 {
		return 0
	}
	return int(t.rows[t.away.j][t.away.cell].i)
}

// landAt begins at note i of the line, or goes on there.
func (t *trellis) landAt(i, j int) {
	if t.arrivals[i].cost <= min(outsideCost*float64(j), t.away.cost+otherEndingCost) || t.pitchCost(i, j) >= landingCost {
		return
	}
	start := outsideCost * float64(j)
	if i > 0 {
		start += part(t.missing[i])
	}
	t.arrive(i, cell{fromJ: -1, cost: start})
	if t.away.j < 0 {
		return
	}
	from := int(t.rows[t.away.j][t.away.cell].i)
	c := cell{fromJ: int32(t.away.j), fromCell: t.away.cell, jump: true, cost: t.away.cost}
	onward, along := t.goesOn(from, i)
	switch {
	case along:
		c.cost += onward
	case !t.nearestTime(i, from):
		c.cost = math.Inf(1)
	case t.startsMeasure(i):
		c.cost += jumpCost + farCost*math.Log2(1+float64(t.distance(from, i)))
	default:
		c.cost += jumpCost + jumpInside + farCost*math.Log2(1+float64(t.distance(from, i)))
	}
	t.arrive(i, c)
	if i > from+maxMissing || i > from && j > t.away.j+maxExtras {
		c.jump, c.cost = false, t.away.cost+resumeCost+t.offTime(from, i, t.away.j, j)
		t.arrive(i, c)
	}
}
