package class

import (
	"strings"

	"endpin/piece"
	"endpin/piece/finding"
	"endpin/piece/words"
)

// Unplayed reports whether a finding says that the take stops before its end: no fault.
func Unplayed(f *finding.Finding) bool { return f.Kind == finding.Stopped }

// NotPlayed are the indexes of the measures that a take stops before, or begins after:
// those of which no note lies in what it played, whichever time round. nil for none.
// Measures that nobody asked for are not among them; one in which no note begins is
// where it stands between such measures, or ends the piece after one.
func NotPlayed(p *piece.Piece, h *finding.Hearing) map[int]bool {
	if h == nil {
		return nil
	}
	notes := line(h)
	before, after := beyond(h, notes)
	if before+after == 0 {
		return nil
	}
	at := places(p)
	asked, within := map[int]int{}, map[int]int{}
	for i, n := range notes {
		if asked[at[n.Measure]]++; i < before || i >= len(notes)-after {
			within[at[n.Measure]]++
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

// line are the notes that were to be played.
func line(h *finding.Hearing) (notes []*finding.Note) {
	for i := range h.Notes {
		if n := &h.Notes[i]; n.State != finding.StateExtra {
			notes = append(notes, n)
		}
	}
	return notes
}

// beyond counts the notes that a take begins after, and those that it stops before. Of what
// a finding calls missing it may be that something else was played there.
func beyond(h *finding.Hearing, notes []*finding.Note) (before, after int) {
	if len(notes) == 0 {
		return 0, 0
	}
	for before < len(notes) && notes[before].Onset == nil {
		before++
	}
	for after < len(notes)-before && notes[len(notes)-1-after].Onset == nil {
		after++
	}
	stops, missing := false, false
	for i := range h.Findings {
		f := &h.Findings[i]
		stops = stops || Unplayed(f)
		missing = missing || f.Kind == finding.Missing && f.Measure == notes[0].Measure && f.Pass == notes[0].Pass && f.Beat == notes[0].Beat
	}
	if missing || before == len(notes) {
		before = 0
	}
	if !stops {
		after = 0
	}
	return before, after
}

// Stops says where a take begins, if not at the beginning, and where it stops, and that the
// rest was therefore not judged; "" where it holds all that was asked for.
func Stops(h *finding.Hearing) string {
	if h == nil {
		return ""
	}
	var said []string
	notes := line(h)
	if before, _ := beyond(h, notes); before > 0 {
		said = append(said, words.Say("finding.begun", "measure", notes[before].Measure, "beat", words.Beat(notes[before].Beat)))
	}
	for i := range h.Findings {
		if f := &h.Findings[i]; Unplayed(f) {
			said = append(said, f.Text)
		}
	}
	return strings.Join(said, " ")
}
