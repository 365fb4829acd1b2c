package class

import (
	"regexp"
	"slices"
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
	s := &Sheet{Version: 1, Piece: title, Students: []Student{}, Reteach: []Reteach{}, LeftOut: append([]LeftOut{}, leftOut...),
		Questions: []Question{}}
	byFile := map[string]Result{}
	for _, r := range results {
		byFile[r.File] = r
	}
	for _, seat := range seats {
		s.Students = append(s.Students, student(p, seat, byFile))
	}
	s.Reteach = reteach(p, s)
	return s
}

func student(p *piece.Piece, seat Seat, results map[string]Result) Student {
	st := Student{Name: seat.Name, Status: Missing, Takes: []Take{}, Findings: []finding.Finding{}, WorthFixing: []int{}}
	for _, f := range seat.Files {
		r, ok := results[f]
		t := Take{Recording: f, Status: NotHeard, Reason: r.Reason, PlayedAt: iso(r.At)}
		switch {
		case !ok:
			t.NotYet, t.Reason = true, words.Say("class.not-yet")
		case r.Hearing != nil:
			t.Status, t.Reason = Heard, doubt(&r)
		}
		st.Takes = append(st.Takes, t)
	}
	if len(st.Takes) == 0 {
		st.Reason = words.Say("class.missing")
		return st
	}
	best, because := counts(seat.Files, results)
	t := &st.Takes[best]
	t.Chosen = true
	st.Recording, st.Status, st.Reason, st.NotYet = &t.Recording, t.Status, t.Reason, t.NotYet
	r := results[t.Recording]
	st.At, st.PlayedAt, st.DatedBy = r.At, iso(r.At), r.By
	if len(st.Takes) > 1 && r.Hearing != nil {
		st.Why = words.Say("class.why."+because, "recording", t.Recording, "takes", len(st.Takes), "day", words.Day(r.At))
	}
	if h := r.Hearing; h != nil {
		st.Hearing = h
		st.Findings = append(st.Findings, h.Findings...)
		st.WorthFixing = WorthFixing(h, others(results, seat.Files, t.Recording)...)
	}
	return st
}

// Elsewhere says of those who sent no recording of one of several pieces what they sent instead.
// The same students stand in all sheets.
func Elsewhere(sheets []*Sheet, unplaced []Unplaced) {
	if len(sheets) < 2 {
		return
	}
	for i := range sheets[0].Students {
		var played []string
		for _, s := range sheets {
			if s.Students[i].Status != Missing {
				played = append(played, s.Piece)
			}
		}
		reason := ""
		for _, u := range unplaced {
			if u.Student == sheets[0].Students[i].Name && reason == "" {
				reason = words.Say("class.missing.unplaced", "recording", u.Recording, "reason", u.Reason)
			}
		}
		if len(played) > 0 {
			reason = words.Say("class.missing.played", "pieces", words.Row(played...))
		}
		for _, s := range sheets {
			if st := &s.Students[i]; st.Status == Missing && reason != "" {
				st.Reason = reason
			}
		}
	}
}

// iso writes a time for a program or a spreadsheet (ISO 8601); "" where it is not known.
func iso(at time.Time) string {
	if at.IsZero() {
		return ""
	}
	return at.Format("2006-01-02T15:04:05Z07:00")
}

// asClear is the share of what the clearest take lets hear from which on another counts as equally
// clear: a take cut off, in noise or clipped loses more, a line that was left out or not sure
// costs less (common practice, no source).
const asClear = 0.8

// counts is which of a student's takes counts, one at least: of those that are equally clear the
// newest; and why.
func counts(files []string, results map[string]Result) (best int, because string) {
	clearest, heard := -1.0, 0
	for _, f := range files {
		clearest = max(clearest, wellHeard(results[f].Hearing))
		if results[f].Hearing != nil {
			heard++
		}
	}
	clear := func(f string) bool { return wellHeard(results[f].Hearing) >= min(clearest, asClear*clearest) }
	best = -1
	var rest []Result // others that are as clear
	for i, f := range files {
		if !clear(f) {
			continue
		}
		if best < 0 || newer(results[f], results[files[best]]) {
			best = i
		}
		rest = append(rest, results[f])
	}
	chosen := results[files[best]]
	switch {
	case heard == 1:
		because = "alone"
	case len(rest) == 1:
		because = "clearer"
	case slices.ContainsFunc(rest, func(r Result) bool { return r.File != chosen.File && r.At.Equal(chosen.At) }):
		because = "last"
	default:
		because = "newest." + string(chosen.By)
	}
	return best, because
}

// newer reports whether a take is newer than another: by when they were played, else by the
// numbers in their names.
func newer(a, b Result) bool {
	if !a.At.Equal(b.At) {
		return a.At.After(b.At)
	}
	return later(a.File, b.File)
}

var figures = regexp.MustCompile(`\d+`)

// later compares names by their first figures that differ: take 10 is later than take 9.
func later(a, b string) bool {
	x, y := figures.FindAllString(a, -1), figures.FindAllString(b, -1)
	for i := range max(len(x), len(y)) {
		switch {
		case i >= len(x) || i >= len(y):
			return len(x) > len(y) // "take (2)" is later than "take"
		case x[i] != y[i]:
			m, n := strings.TrimLeft(x[i], "0"), strings.TrimLeft(y[i], "0")
			return len(m) > len(n) || len(m) == len(n) && m > n
		}
	}
	return false
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

// Explains is the share of what was played in a take that its piece explains: of the notes
// heard and of the longer of what was expected between the first and the last of them, those
// heard as written, 0 to 1.
func Explains(h *finding.Hearing) float64 {
	first, last, heard, played := -1, -1, 0, 0.0
	for i := range h.Notes {
		n := &h.Notes[i]
		if n.Onset == nil {
			continue
		}
		heard++
		if n.State != finding.StateExtra {
			if first < 0 {
				first = i
			}
			last = i
		}
		if n.State == finding.StatePlayed {
			played++
		}
	}
	if first < 0 {
		return 0
	}
	expected := 0
	for i := range h.Notes[first : last+1] {
		if h.Notes[first+i].State != finding.StateExtra {
			expected++
		}
	}
	return played / float64(max(heard, expected))
}

// Retold is a student who was heard as the page reads in the language that the program
// speaks now, where the findings and what leaves doubt in the recording read so.
func (st *Student) Retold(told []finding.Told, doubtful string) *Student {
	s, h := *st, *st.Hearing
	h.Findings = slices.Clone(h.Findings)
	h.Tell(told)
	s.Hearing, s.Findings = &h, h.Findings
	s.Reason = doubt(&Result{Hearing: &h, Doubt: doubtful})
	if st.moved != nil {
		s.Moved = st.moved.Text()
	}
	return &s
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
