package align

import (
	"cmp"
	"math"
	"slices"
	"sort"

	"endpin/piece"
)

// places tells where in the line the notes from one heard on may be, so that not every
// note of a long line is tried for each: where three notes of four that follow one
// another are of the pitches of three heard, as a passage is looked up in a long text,
// and wherever a measure starts near the player.
type places struct {
	starts []int   // the first notes of measures
	within []int   // by note of the line: its measure, an index into starts
	threes []three // in order of their pitches and places
}

// three says that note i and two of the three after it have these pitches.
type three struct {
	pitches uint32
	i       int
}

// gaps are the ways to take three notes of four: how far the others lie behind the first.
var gaps = [3][2]int{{1, 2}, {1, 3}, {2, 3}}

// Chosen by time and by made-up takes (following_test.go).
const (
	nearNotes    = 12 // to each side of the player that are always tried …
	nearMeasures = 8  // to each side whose first notes are
	alikeMost    = 24 // places of the same three notes that are looked at, those nearest the player
	aheadNotes   = 8  // heard that tell how well a place fits
	placesMost   = 16 // that are tried, those that fit best
)

func placesOf(line []piece.Expected) *places {
	p := &places{within: make([]int, len(line))}
	for i := range line {
		if startsMeasure(line, i) {
			p.starts = append(p.starts, i)
		}
		p.within[i] = len(p.starts) - 1
		for _, g := range gaps {
			if i+g[1] < len(line) {
				p.threes = append(p.threes, three{pitches(line[i].MIDI, line[i+g[0]].MIDI, line[i+g[1]].MIDI), i})
			}
		}
	}
	slices.SortFunc(p.threes, func(a, b three) int { return cmp.Or(cmp.Compare(a.pitches, b.pitches), a.i-b.i) })
	return p
}

func pitches(a, b, c int) uint32 { return uint32(a&0xff)<<16 | uint32(b&0xff)<<8 | uint32(c&0xff) }

// startsMeasure tells whether a note of the line is the first of a measure.
func startsMeasure(line []piece.Expected, i int) bool {
	return i == 0 || line[i].Measure != line[i-1].Measure || line[i].Pass != line[i-1].Pass
}

// fitting gives the places that note j may be, for a player who was last at a note of
// the line.
func (m *model) fitting(j, last int) []int {
	var found []int
	for i := max(0, last-nearNotes); i <= min(len(m.line)-1, last+nearNotes); i++ {
		found = append(found, i)
	}
	at := m.places.within[last]
	found = append(found, m.places.starts[max(0, at-nearMeasures):min(len(m.places.starts), at+nearMeasures+1)]...)
	for _, g := range gaps {
		if j+g[1] < len(m.heard) {
			found = m.places.alike(found, pitches(m.nearest(j), m.nearest(j+g[0]), m.nearest(j+g[1])), last)
		}
	}
	found = slices.DeleteFunc(found, func(i int) bool { return m.pitchCost(i, j) >= landingCost })
	slices.Sort(found)
	found = slices.Compact(found)
	if len(found) <= placesMost {
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
		return cmp.Or(cmp.Compare(a.cost, b.cost), cmp.Compare(distance(a.i, last), distance(b.i, last)), a.i-b.i)
	})
	for k := range placesMost {
		found[k] = fits[k].i
	}
	return found[:placesMost]
}

// alike adds the places of three pitches, those nearest a note of the line.
func (p *places) alike(found []int, pitches uint32, last int) []int {
	at := sort.Search(len(p.threes), func(k int) bool {
		t := &p.threes[k]
		return t.pitches > pitches || t.pitches == pitches && t.i >= last
	})
	for k := at - 1; k >= max(0, at-alikeMost/2) && p.threes[k].pitches == pitches; k-- {
		found = append(found, p.threes[k].i)
	}
	for k := at; k < min(len(p.threes), at+alikeMost/2) && p.threes[k].pitches == pitches; k++ {
		found = append(found, p.threes[k].i)
	}
	return found
}

// nearest is the pitch of the line that note j most likely is.
func (m *model) nearest(j int) int {
	return int(math.Round(m.heard[j].Pitch - m.tuning - m.octave))
}

// ahead is what the pitches cost, roughly, of the notes heard from j on, where note j is
// note i of the line: one more or less is gone over.
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

// pitchAt is what a pitch costs, as that of another note beyond the end of the line.
func (m *model) pitchAt(i, j int) float64 {
	if i >= len(m.line) || j >= len(m.heard) {
		return wrongCost
	}
	return m.pitchCost(i, j)
}

func distance(a, b int) int { return max(a-b, b-a) }
