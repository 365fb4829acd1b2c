package class

import (
	"slices"
	"sort"

	"endpin/dsp"
	"endpin/piece"
	"endpin/piece/finding"
	"endpin/piece/outline"
)

// What is for the whole class: what so many students share, or so much of those heard,
// whichever is less; what one had is for nobody else (common practice, no source).
const (
	fewest    = 2
	enough    = 3
	leastPart = 5 // a fifth
)

// Shared reports whether what n students had of so many heard is for the whole class.
func Shared(n, heard int) bool { return n >= fewest && (n >= enough || leastPart*n >= heard) }

// spot is one kind of finding in one measure of the music.
type spot struct {
	music int // where the same music stands first; -1 for the whole take
	kind  finding.Kind
}

// had is what students had at a spot.
type had struct {
	students map[int]bool
	measures map[int]bool   // in which
	reach    map[int]int    // measures that it went on for, each with how often
	what     map[string]int // what it was about, each with of how many students
}

// reteach counts students by what they had where, of those whose take lets that place be
// judged. What is not sure is not counted.
func reteach(p *piece.Piece, s *Sheet) []Reteach {
	at, heard := places(p), s.HeardOf()
	not := make([]map[int]bool, len(s.Students))
	for i := range s.Students {
		not[i] = notJudged(p, at, s.Students[i].Hearing)
	}
	all := []Reteach{}
	for sp, h := range spots(p, s, at) {
		if !Shared(len(h.students), heard) || sp.kind.Row().Unit == finding.PaceShare {
			continue
		}
		r := Reteach{Kind: sp.kind, Students: len(h.students), Of: heard, Also: []string{}}
		if sp.music < 0 {
			r.Measure, r.ToMeasure, r.throughout = p.Measures[0].Number, p.Measures[len(p.Measures)-1].Number, sp.kind.Row().About == finding.OneNote
		} else {
			h.place(p, &r)
			r.Of -= silent(s, sp.kind, h, not)
			r.Fewer = r.Of < heard
		}
		all = append(all, r)
	}
	all = append(all, passages(p, s, at, not)...)
	sort.Slice(all, func(a, b int) bool {
		x, y := &all[a], &all[b]
		if x.Students != y.Students {
			return x.Students > y.Students
		}
		if at[x.Measure] != at[y.Measure] {
			return at[x.Measure] < at[y.Measure]
		}
		return x.Kind < y.Kind
	})
	return all
}

// spots gathers what students had. What is learned in one place and comes again counts
// together, by the rule of the outline.
func spots(p *piece.Piece, s *Sheet, at map[string]int) map[spot]*had {
	same, all := outline.Learned(outline.Again(p), len(p.Measures)), map[spot]*had{}
	for i := range s.Students {
		for k := range s.Students[i].Findings {
			f := &s.Students[i].Findings[k]
			m, ok := at[f.Measure]
			if !ok || f.Trust == dsp.NotSure || f.Kind.Row().Weight == 0 || f.Kind == finding.Restarted || slices.Contains(s.Students[i].Struck, k) {
				continue
			}
			sp := spot{same[m], f.Kind}
			if Throughout(s.Students[i].Hearing, f) {
				sp.music = -1
			}
			h := all[sp]
			if h == nil {
				h = &had{map[int]bool{}, map[int]bool{}, map[int]int{}, map[string]int{}}
				all[sp] = h
			}
			if !h.students[i] {
				h.students[i] = true
				h.what[named(p, m, f, s.Students[i].Hearing)]++
			}
			h.measures[m] = true
			if to, ok := at[f.ToMeasure]; ok && to >= m {
				h.reach[to-m]++
			}
		}
	}
	return all
}

// passages counts those whose passages at another pace go through the same measures, wherever
// each begins: it tells of the measures that most of them share.
func passages(p *piece.Piece, s *Sheet, at map[string]int, not []map[int]bool) (all []Reteach) {
	for _, kind := range []finding.Kind{finding.SlowerPassage, finding.FasterPassage} {
		by := make([]had, len(p.Measures)) // by measure
		for m := range by {
			by[m] = had{students: map[int]bool{}, measures: map[int]bool{m: true}}
		}
		for i := range s.Students {
			for k := range s.Students[i].Findings {
				f := &s.Students[i].Findings[k]
				from, ok := at[f.Measure]
				if !ok || f.Kind != kind || f.Trust == dsp.NotSure || slices.Contains(s.Students[i].Struck, k) {
					continue
				}
				for m := from; m <= max(from, at[f.ToMeasure]); m++ {
					by[m].students[i] = true
				}
			}
		}
		for m := 0; m < len(by); m++ {
			if !Shared(len(by[m].students), s.HeardOf()) {
				continue
			}
			most := m
			for ; m < len(by) && Shared(len(by[m].students), s.HeardOf()); m++ {
				if len(by[m].students) > len(by[most].students) {
					most = m
				}
			}
			n, last := len(by[most].students), most
			for last+1 < m && len(by[last+1].students) == n {
				last++
			}
			r := Reteach{Measure: p.Measures[most].Number, ToMeasure: p.Measures[last].Number, Kind: kind, Students: n, Also: []string{}}
			r.Of = s.HeardOf() - silent(s, kind, &by[most], not)
			r.Fewer = r.Of < s.HeardOf()
			all = append(all, r)
		}
	}
	return all
}

// place tells where it was and, where most mean the same note or the same shift, what.
func (h *had) place(p *piece.Piece, r *Reteach) {
	where := keys(h.measures)
	r.Measure = p.Measures[where[0]].Number
	r.ToMeasure = p.Measures[min(where[0]+commonest(h.reach), len(p.Measures)-1)].Number
	for _, m := range where[1:] {
		r.Also = append(r.Also, p.Measures[m].Number)
	}
	for w, n := range h.what {
		if 3*n >= 2*r.Students {
			r.What = w
		}
	}
}

// silent is how many of the others' takes tell nothing of it: not any of its measures
// could be judged.
func silent(s *Sheet, kind finding.Kind, h *had, not []map[int]bool) (n int) {
	for i := range s.Students {
		take := s.Students[i].Hearing
		if take == nil || h.students[i] {
			continue
		}
		judged := false
		for m := range h.measures {
			judged = judged || !not[i][m]
		}
		if take.OnlyPitch && kind.Row().Drowned || !judged {
			n++
		}
	}
	return n
}

// notJudged are the measures, by their index, that a take does not hold, or of whose notes
// none was heard surely enough to tell anything.
func notJudged(p *piece.Piece, at map[string]int, h *finding.Hearing) map[int]bool {
	not := map[int]bool{}
	if h == nil {
		return not
	}
	for i := range h.Notes {
		if n := &h.Notes[i]; n.State != finding.StateExtra {
			judged := n.Onset != nil && n.Trust != dsp.NotSure
			was, seen := not[at[n.Measure]]
			not[at[n.Measure]] = !judged && (was || !seen)
		}
	}
	for m := range NotPlayed(p, h) {
		not[m] = true
	}
	return not
}

// Whole reports whether a finding is about the take and not a place in it.
func Whole(f *finding.Finding) bool {
	about := f.Kind.Row().About
	return about == finding.WholeTake || about == finding.Hand
}

// Throughout reports whether a finding is about the whole of a take, or of how all of it was
// played. The take is nil where only its findings are known.
func Throughout(h *finding.Hearing, f *finding.Finding) bool {
	return Whole(f) || h != nil && f.Notes > 1 && h.Throughout(f)
}

// places is where each printed number first stands.
func places(p *piece.Piece) map[string]int {
	at := map[string]int{}
	for i := range p.Measures {
		if _, seen := at[p.Measures[i].Number]; !seen {
			at[p.Measures[i].Number] = i
		}
	}
	return at
}

func keys(set map[int]bool) []int {
	var out []int
	for k := range set {
		out = append(out, k)
	}
	slices.Sort(out)
	return out
}

func commonest(counts map[int]int) (best int) {
	for k, n := range counts {
		if n > counts[best] || n == counts[best] && k < best {
			best = k
		}
	}
	return best
}
