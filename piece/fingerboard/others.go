package fingerboard

import (
	"slices"

	"endpin/piece"
)

// Other is another fingering for some notes of a line, which a player might as
// well have chosen.
type Other struct {
	First, Last int        // indexes into the line: the notes that it fingers otherwise, both included
	Notes       []Fingered // from First to Last; their frames are not counted
	More        float64    // what it costs more than the plan's, in the unit of Costs; 0 where no more
}

// near is how much dearer another fingering may be and still be worth showing: a
// quarter of a shift by a semitone. Common practice, no source.
const near = 0.3

// longestOther is how many notes another fingering may take; what differs for
// longer is another reading of the whole, not of a place.
const longestOther = 12

// aside reads what the cheapest way on which the hand does not move to layer i
// fingers otherwise than the plan, around i. It comes from state h before i and
// goes on from state j.
func (in Instrument) aside(line []piece.Expected, all []choices, free, tied []layer, path []int, i, h, j int) (o Other, ok bool) {
	differs := func(at, s int) bool { return free[at].states[s].stop != tied[at].states[path[at]].stop }
	var stops []stop
	from := i
	for s := h; from > 0 && differs(from-1, s) && len(stops) < longestOther; from-- {
		stops = append(stops, free[from-1].states[s].stop)
		s = int(free[from-1].from[s])
	}
	slices.Reverse(stops)
	to := i
	for s := j; to < len(free) && differs(to, s) && len(stops) < longestOther; to++ {
		stops = append(stops, free[to].states[s].stop)
		s = int(free[to].to[s])
	}
	if len(stops) == 0 || len(stops) == longestOther {
		return o, false
	}
	o = Other{First: free[from].note, Last: free[to-1].note}
	o.Notes = make([]Fingered, o.Last-o.First+1)
	for n := range o.Notes {
		o.Notes[n] = Fingered{Off: true, Frame: -1}
	}
	for n, st := range stops {
		note := free[from+n].note
		f := in.fingered(st, line[note].Marks, all[note])
		if st.stopped() {
			f.Frame = 0
		}
		o.Notes[note-o.First] = f
	}
	return o, true
}

// sameOther reports whether two say the same.
func sameOther(a, b Other) bool {
	return a.First == b.First && a.Last == b.Last && slices.EqualFunc(a.Notes, b.Notes, sameStop)
}

// Taken is a copy of the piece in which another fingering is marked over its notes,
// and over those of equal measures: alike gives for each measure the first that is
// the same. Line is the whole piece's.
func (o Other) Taken(p *piece.Piece, line []piece.Expected, alike []int) *piece.Piece {
	marked := p.Copied()
	first, last := line[o.First].Measure, line[o.Last].Measure
	for m := 0; m+last-first < len(marked.Measures); m++ {
		same := true
		for k := 0; k <= last-first; k++ {
			same = same && alike[m+k] == alike[first+k]
		}
		if !same {
			continue
		}
		for n, f := range o.Notes {
			e := &line[o.First+n]
			if f.Off {
				continue
			}
			marks := &marked.Measures[m+e.Measure-first].Notes[e.Note].Marks
			*marks = piece.Marks{Bow: marks.Bow, Finger: f.Finger, String: f.String, Harmonic: marks.Harmonic}
			if f.Stopped() {
				marks.Position = f.Position
			}
			if f.Open || f.Stopped() && f.Position != "thumb" {
				marks.String = 0 // finger and position tell it: no hand below the thumb's has a note twice with one finger
			}
		}
	}
	return marked
}
