package class

import (
	"strings"
	"time"

	"endpin/dsp"
	"endpin/piece"
	"endpin/piece/finding"
	"endpin/piece/words"
)

// most is how many things a student is given to work on.
const most = 3

// Gather makes the sheet of all that was heard. results may come in any order; a
// file without one counts as not yet heard. What one student has in two measures
// of the same music counts once.
func Gather(p *piece.Piece, title string, seats []Seat, results []Result, leftOut []LeftOut) *Sheet {
	s := &Sheet{Version: 1, Piece: title, Students: []Student{}, Reteach: []Reteach{}, LeftOut: append([]LeftOut{}, leftOut...)}
	byFile := map[string]Result{}
	for _, r := range results {
		byFile[r.File] = r
	}
	for _, seat := range seats {
		s.Students = append(s.Students, student(seat, byFile))
	}
	s.Reteach = reteach(p, s)
	return s
}

func student(seat Seat, results map[string]Result) Student {
	st := Student{Name: seat.Name, Status: Missing, Takes: []Take{}, Findings: []finding.Finding{}, WorthFixing: []int{}}
	best, bestWeight, alike := -1, -1.0, false
	for _, f := range seat.Files {
		r, ok := results[f]
		t := Take{Recording: f, Status: NotHeard, Reason: r.Reason}
		switch {
		case !ok:
			t.NotYet, t.Reason = true, words.Say("class.not-yet")
		case r.Hearing != nil:
			t.Status, t.Reason = Heard, doubt(&r)
		}
		switch w := wellHeard(r.Hearing); {
		case w > bestWeight:
			best, bestWeight, alike = len(st.Takes), w, false
		case w == bestWeight:
			alike = true
		}
		st.Takes = append(st.Takes, t)
	}
	if best < 0 {
		st.Reason = words.Say("class.missing")
		return st
	}
	t := &st.Takes[best]
	t.Chosen = true
	st.Recording, st.Status, st.Reason, st.NotYet = &t.Recording, t.Status, t.Reason, t.NotYet
	st.Why, st.At = why(st.Takes, best, alike), results[t.Recording].At
	if h := results[t.Recording].Hearing; h != nil {
		st.Hearing, st.Before = h, before(results, seat.Files, st.At)
		st.Findings = append(st.Findings, h.Findings...)
		st.WorthFixing = WorthFixing(h, others(results, seat.Files, t.Recording)...)
	}
	return st
}

// MayBeWorthFixing is WorthFixing before it is known what the student's other takes tell.
func MayBeWorthFixing(h *finding.Hearing) []int {
	order := h.Worth()
	return order[:min(2*most, len(order))]
}

// others are the hearings of the other takes of a student in which the piece was heard.
func others(results map[string]Result, files []string, chosen string) (all []*finding.Hearing) {
	for _, f := range files {
		if h := results[f].Hearing; h != nil && f != chosen {
			all = append(all, h)
		}
	}
	return all
}

// before is the hearing of the student's last take before a time; nil for none.
func before(results map[string]Result, files []string, at time.Time) (h *finding.Hearing) {
	var last time.Time
	for _, f := range files {
		if r := results[f]; r.Hearing != nil && r.At.Before(at) && r.At.After(last) {
			h, last = r.Hearing, r.At
		}
	}
	return h
}

// why says why one of several takes counts; nothing where there is one, or where
// none was heard.
func why(takes []Take, best int, alike bool) string {
	if len(takes) < 2 || takes[best].Status != Heard {
		return ""
	}
	heard := 0
	for _, t := range takes {
		if t.Status == Heard {
			heard++
		}
	}
	because := "clearer"
	switch {
	case heard == 1:
		because = "alone"
	case alike:
		because = "first"
	}
	return words.Say("class.why."+because, "recording", takes[best].Recording, "takes", len(takes))
}

// WorthFixing chooses at most three findings to work on, the most worthwhile first; what
// was told of the student's other takes too comes before what was not.
func WorthFixing(h *finding.Hearing, others ...*finding.Hearing) []int {
	order := h.Worth(others...)
	return append([]int{}, order[:min(most, len(order))]...)
}

// Shows reports whether two seconds of sound show a finding: a tempo they do not.
func Shows(f *finding.Finding) bool {
	return !Whole(f) || f.Kind == finding.Tuning || hand(f.Kind)
}

func hand(k finding.Kind) bool { return k.Row().About == finding.Hand }

// wellHeard weighs how much of the piece a take lets hear, whatever was played
// well: 1 for each note played that is sure, less where it is not; -0.5 for none.
func wellHeard(h *finding.Hearing) (w float64) {
	if h == nil {
		return -0.5
	}
	for i := range h.Notes {
		n := &h.Notes[i]
		if n.Onset == nil || n.State == finding.StateExtra {
			continue
		}
		switch n.Trust {
		case dsp.Sure:
			w++
		case dsp.Fair:
			w += 0.5
		}
	}
	return w
}

// doubt is what leaves doubt in a take that was heard, and the mend.
func doubt(r *Result) string {
	var said []string
	for i := range r.Hearing.Findings {
		if f := &r.Hearing.Findings[i]; f.Kind == finding.NotSure {
			said = append(said, f.Text)
		}
	}
	if r.Doubt != "" {
		said = append(said, r.Doubt)
	}
	return strings.Join(said, " ")
}
