package align

import (
	"cmp"
	"slices"
	"sort"

	"endpin/piece"
)

// score is the line with what is looked up in it for every note heard.
type score struct {
	line    []piece.Expected
	clock   []float64 // nominal time of each note, s
	missing []float64 // cost of leaving out all notes before one
	starts  []int     // the first notes of measures
	measure []int     // by note: the measure it stands in, an index into starts
	comes   [][]int   // by measure of the page: its first note each time it comes round
	onward  [][]wayOn // by note
	threes  []three   // by their pitches, then by their places
}

// three says that note i and two of the three after it have these pitches.
type three struct {
	pitches uint32
	i       int
}

// gaps are the ways to take three notes of four: how far the others lie behind the first.
var gaps = [3][2]int{{1, 2}, {1, 3}, {2, 3}}

func scoreOf(line []piece.Expected, clock []float64) *score {
	s := &score{line: line, clock: clock, missing: make([]float64, len(line)+1), measure: make([]int, len(line)), onward: make([][]wayOn, len(line))}
	for i := range line {
		s.missing[i+1] = s.missing[i] + s.missingAt(i)
		if s.startsMeasure(i) {
			s.starts = append(s.starts, i)
		}
		s.measure[i] = len(s.starts) - 1
		for _, g := range gaps {
			if i+g[1] < len(line) {
				s.threes = append(s.threes, three{threePitches(line[i].MIDI, line[i+g[0]].MIDI, line[i+g[1]].MIDI), i})
			}
		}
	}
	slices.SortFunc(s.threes, func(a, b three) int { return cmp.Or(cmp.Compare(a.pitches, b.pitches), a.i-b.i) })
	s.findOnward()
	return s
}

// wayOn is where a player may go on along the page though the line does not, and its cost.
type wayOn struct {
	to   int
	cost float64
}

// findOnward finds where a player goes on who takes no repeat, or another ending, or who
// goes on where the page goes back or ends: at the next measure of the page, or where the
// line goes another time round; and, from an ending, where it goes from the others.
func (s *score) findOnward() {
	for _, i := range s.starts {
		for len(s.comes) < s.line[i].Measure+2 {
			s.comes = append(s.comes, nil)
		}
		s.comes[s.line[i].Measure] = append(s.comes[s.line[i].Measure], i)
	}
	goes, endingsGo := make([][]int, len(s.comes)), map[int][]int{} // by measure, and by what lies behind endings
	for _, i := range s.starts[1:] {
		from, to := &s.line[i-1], &s.line[i]
		goes[from.Measure] = append(goes[from.Measure], to.Measure)
		if from.Behind > 0 && from.Behind != to.Behind {
			endingsGo[from.Behind] = append(endingsGo[from.Behind], to.Measure)
		}
	}
	for i := range s.line {
		if i+1 < len(s.line) && !s.startsMeasure(i+1) {
			continue
		}
		from, next := &s.line[i], piece.Expected{Measure: -1}
		if i+1 < len(s.line) {
			next = s.line[i+1]
		}
		add := func(measure int, cost float64) {
			if measure == next.Measure || measure >= len(s.comes) || len(s.comes[measure]) == 0 {
				return
			}
			times := s.comes[measure] // the one that comes next, or came last
			to := times[min(sort.SearchInts(times, i), len(times)-1)]
			if !slices.ContainsFunc(s.onward[i], func(o wayOn) bool { return o.to == to }) {
				s.onward[i] = append(s.onward[i], wayOn{to, cost})
			}
		}
		if from.Behind > 0 && from.Behind != next.Behind {
			for _, m := range endingsGo[from.Behind] {
				add(m, otherEndingCost)
			}
		}
		for _, m := range append(goes[from.Measure], from.Measure+1) {
			switch {
			case m <= from.Measure:
			case next.Behind > 0 && s.behind(m) == next.Behind: // one ending for another
				add(m, otherEndingCost)
			default:
				add(m, onwardCost)
			}
		}
	}
}

// behind is the measure behind a measure of the page that stands in an ending, else 0.
func (s *score) behind(measure int) int {
	if measure >= len(s.comes) || len(s.comes[measure]) == 0 {
		return 0
	}
	return s.line[s.comes[measure][0]].Behind
}

// goesOn gives what it costs to go on along the page from one note to another, and whether
// it can be done.
func (s *score) goesOn(from, to int) (cost float64, ok bool) {
	for _, o := range s.onward[from] {
		if o.to == to {
			return o.cost, true
		}
	}
	return 0, false
}

// nearestTime tells whether note i stands in its measure the time that comes round
// nearest to another note: that is the one meant.
func (s *score) nearestTime(i, from int) bool {
	own := s.starts[s.measure[i]]
	away := max(own-from, from-own)
	for _, other := range s.comes[s.line[i].Measure] {
		if max(other-from, from-other) < away {
			return false
		}
	}
	return true
}

// startsMeasure tells whether a note is the first of a measure.
func (s *score) startsMeasure(i int) bool {
	return i == 0 || s.line[i].Measure != s.line[i-1].Measure || s.line[i].Pass != s.line[i-1].Pass
}

// endsPage tells whether a note is the last of the last measure, be it that a repeat
// is still to come.
func (s *score) endsPage(i int) bool {
	return i+1 == len(s.line) || s.line[i].Measure == s.line[len(s.line)-1].Measure && s.startsMeasure(i+1)
}

// missingAt is dearer for a note alone than for one that repeats its neighbour, whose
// onset is easily not heard.
func (s *score) missingAt(i int) float64 {
	if i > 0 && s.line[i].MIDI == s.line[i-1].MIDI {
		return repeatMissing * missingCost
	}
	return missingCost
}

// leftOut is what it costs to leave out the notes between two.
func (s *score) leftOut(from, to int) float64 { return s.missing[to] - s.missing[from+1] }

func threePitches(a, b, c int) uint32 { return uint32(a&0xff)<<16 | uint32(b&0xff)<<8 | uint32(c&0xff) }

// alike adds the places of three pitches, those nearest to a note.
func (s *score) alike(found []int, pitches uint32, near int) []int {
	at := sort.Search(len(s.threes), func(k int) bool {
		t := &s.threes[k]
		return t.pitches > pitches || t.pitches == pitches && t.i >= near
	})
	for k := at - 1; k >= max(0, at-alikeMost/2) && s.threes[k].pitches == pitches; k-- {
		found = append(found, s.threes[k].i)
	}
	for k := at; k < min(len(s.threes), at+alikeMost/2) && s.threes[k].pitches == pitches; k++ {
		found = append(found, s.threes[k].i)
	}
	return found
}

// distance is how many measures lie between two notes.
func (s *score) distance(a, b int) int {
	return max(s.measure[a]-s.measure[b], s.measure[b]-s.measure[a])
}
