package class

import (
	"math"
	"strings"

	"endpin/dsp"
	"endpin/piece"
	"endpin/piece/finding"
	"endpin/piece/words"
)

// Unplayed reports whether a finding says that the take stops before its notes, or
// begins after them, and says it for certain.
func Unplayed(f *finding.Finding) bool { return f.Unplayed && f.Trust != dsp.NotSure }

// NotPlayed are the indexes of the measures that a take stops before, or begins after:
// those of which no note lies in what it played, whichever time round. nil for none.
// Measures that nobody asked for are not among them; one in which no note begins is
// where it stands between such measures, or ends the piece after one.
func NotPlayed(p *piece.Piece, h *finding.Hearing) map[int]bool {
	if h == nil {
		return nil
	}
	at := places(p)
	asked, within := map[int]int{}, map[int]int{}
	for i := range h.Findings {
		if f := &h.Findings[i]; Unplayed(f) {
			for _, n := range beyond(h, f) {
				within[at[n.Measure]]++
			}
		}
	}
	if len(within) == 0 {
		return nil
	}
	for i := range h.Notes {
		if n := &h.Notes[i]; n.State != finding.StateExtra {
			asked[at[n.Measure]]++
		}
	}
	out := map[int]bool{}
	for m, n := range within {
		if n == asked[m] {
			out[m] = true
		}
	}
	begins := make([]bool, len(p.Measures))
	line, _ := p.Line()
	for i := range line {
		begins[line[i].Measure] = true
	}
	for m := 1; m < len(p.Measures); m++ {
		if !out[m-1] || begins[m] {
			continue
		}
		next := m + 1
		for next < len(p.Measures) && !begins[next] {
			next++
		}
		if next == len(p.Measures) || out[next] {
			out[m] = true
		}
	}
	return out
}

// beyond are the notes of the line that a finding of what was not played is about.
func beyond(h *finding.Hearing, f *finding.Finding) (notes []*finding.Note) {
	for i := range h.Notes {
		n := &h.Notes[i]
		if n.State == finding.StateExtra || len(notes) == f.Notes {
			continue
		}
		if len(notes) > 0 || n.Measure == f.Measure && n.Pass == f.Pass && math.Abs(n.Beat-f.Beat) < 0.002 {
			notes = append(notes, n)
		}
	}
	return notes
}

// Stops says where a take stops, or that it begins late, and which measures were
// therefore not heard; "" where it holds all that was asked for.
func Stops(p *piece.Piece, h *finding.Hearing) string {
	if h == nil {
		return ""
	}
	var said []string
	for i := range h.Findings {
		if f := &h.Findings[i]; Unplayed(f) {
			said = append(said, f.Text)
		}
	}
	if len(said) == 0 {
		return ""
	}
	not := NotPlayed(p, h)
	for m := 0; m < len(p.Measures); m++ {
		if !not[m] {
			continue
		}
		from := m
		for not[m+1] {
			m++
		}
		key := "class.unheard.measures"
		if from == m {
			key = "class.unheard.measure"
		}
		said = append(said, words.Say(key, "from", p.Measures[from].Number, "to", p.Measures[m].Number))
	}
	return strings.Join(said, " ")
}
