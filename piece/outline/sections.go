package outline

import (
	"math"
	"strings"

	"endpin/piece"
	"endpin/piece/words"
)

// sections divides a piece. What the teacher says goes first, then what the file
// is marked with, then the music.
func sections(p *piece.Piece, same []Same, asked []string) ([]Range, string, error) {
	n := len(p.Measures)
	if n == 0 {
		return nil, "", nil
	}
	if len(asked) > 0 {
		r, err := asDivided(p, asked)
		return r, words.Say("outline.divided.asked"), err
	}
	begins := make([]bool, n)
	marked := false
	for i := range p.Measures {
		m := &p.Measures[i]
		if i > 0 && m.Rehearsal != "" || i+1 < n && m.DoubleBar && m.RepeatTimes == 0 {
			marked = true
			if i > 0 && m.Rehearsal != "" {
				begins[i] = true
			}
			if i+1 < n && m.DoubleBar && m.RepeatTimes == 0 {
				begins[i+1] = true
			}
		}
	}
	if marked {
		return cut(begins), words.Say("outline.divided.marks"), nil
	}
	repeats := false
	for i := range p.Measures {
		m := &p.Measures[i]
		if i > 0 && (m.RepeatStart || m.Segno || m.Coda) && !upbeatOnly(p, i) {
			begins[i], repeats = true, true
		}
		ends := m.RepeatTimes > 0 && (i+1 == n || len(p.Measures[i+1].Endings) == 0)
		ends = ends || len(m.Endings) > 0 && i+1 < n && len(p.Measures[i+1].Endings) == 0 || m.Fine || m.ToCoda
		if ends && i+1 < n {
			begins[i+1], repeats = true, true
		}
	}
	var all []Range
	phrased := false
	for _, r := range cut(begins) {
		parts := phrases(p, same, r)
		phrased = phrased || len(parts) > 1
		all = append(all, parts...)
	}
	by := "outline.divided.one"
	switch {
	case repeats && phrased:
		by = "outline.divided.repeats-and-phrases"
	case repeats:
		by = "outline.divided.repeats"
	case phrased:
		by = "outline.divided.phrases"
	}
	return all, words.Say(by), nil
}

// upbeatOnly reports whether nothing but a pickup stands before a measure.
func upbeatOnly(p *piece.Piece, i int) bool {
	m := &p.Measures[0]
	return i == 1 && m.Length < m.Time.Beat()*piece.Ticks(m.Time.Beats)
}

// cut gives the ranges between the places where something begins.
func cut(begins []bool) []Range {
	var all []Range
	from := 0
	for i := 1; i <= len(begins); i++ {
		if i == len(begins) || begins[i] {
			all = append(all, Range{from, i - 1})
			from = i
		}
	}
	return all
}

// asDivided reads the teacher's ranges; they come in order, do not overlap and leave no measure out.
func asDivided(p *piece.Piece, asked []string) ([]Range, error) {
	var all []Range
	for _, a := range asked {
		first, last, err := p.Select(strings.TrimSpace(a))
		if err != nil {
			return nil, words.Fault("outline.sections", "err", err)
		}
		if k := len(all); k > 0 && first <= all[k-1].Last {
			return nil, words.Fault("outline.sections.order", "typed", strings.Join(asked, ","), "section", a)
		}
		all = append(all, Range{first, last})
	}
	next := 0
	for _, r := range append(all[:len(all):len(all)], Range{len(p.Measures), 0}) {
		if r.First > next {
			key, from, to := "outline.sections.left-out", p.Measures[next].Number, p.Measures[r.First-1].Number
			if next == r.First-1 {
				key += ".one"
			}
			return nil, words.Fault(key, "typed", strings.Join(asked, ","), "from", from, "to", to)
		}
		next = r.Last + 1
	}
	return all, nil
}

// How a long stretch is divided. Common practice, no source: eight measures are
// what a player holds in mind, and phrases fill fours.
const (
	usual     = 8
	longest   = 16
	whole     = 12  // a stretch up to here stays whole
	restores  = 1.5 // a passage that comes again begins or ends here
	breathes  = 1.0 // a long note or a rest goes before
	inFours   = 0.8 // a multiple of four measures
	tooLittle = 4   // fewer measures make no section
)

// phrases divides a stretch where it is long, at the least cost: near eight
// measures each, begun where a passage comes again or after a long note.
func phrases(p *piece.Piece, same []Same, r Range) []Range {
	first := r.First
	if upbeatOnly(p, first+1) && first == 0 && r.Last > 0 {
		first = 1 // the pickup goes with what follows
	}
	n := r.Last - first + 1
	if n <= whole {
		return []Range{r}
	}
	sign := make([]float64, n+1) // how much speaks for a section to begin here
	for i := range sign {
		if k := first + i - 1; i > 0 && settles(&p.Measures[k]) {
			sign[i] += breathes
		}
	}
	for _, s := range same {
		for _, at := range []int{s.First.First, s.First.Last + 1, s.Second.First, s.Second.Last + 1} {
			if i := at - first; i > 0 && i < n {
				sign[i] = math.Max(sign[i], 0) + restores/2
			}
		}
	}
	cost := make([]float64, n+1)
	from := make([]int, n+1)
	for j := 1; j <= n; j++ {
		cost[j] = math.Inf(1)
		for i := max(0, j-longest); i < j; i++ {
			length := j - i
			if length < tooLittle && !(i == 0 && j == n) || math.IsInf(cost[i], 1) {
				continue
			}
			c := cost[i] + 1.5 + float64((length-usual)*(length-usual))/16 - math.Min(sign[i], 3)
			if length%4 == 0 {
				c -= inFours
			}
			if c < cost[j] {
				cost[j], from[j] = c, i
			}
		}
	}
	var back []Range
	for j := n; j > 0; j = from[j] {
		back = append(back, Range{first + from[j], first + j - 1})
	}
	var all []Range
	for i := len(back) - 1; i >= 0; i-- {
		all = append(all, back[i])
	}
	all[0].First = r.First
	return all
}

// settles reports whether a measure comes to rest: it ends in a rest, or with a
// note of half the measure or more, or under a fermata.
func settles(m *piece.Measure) bool {
	if len(m.Notes) == 0 {
		return false
	}
	last := &m.Notes[len(m.Notes)-1]
	return last.Rest || last.Articulated.Fermata || last.Articulated.Breath || 2*last.Length >= m.Length
}
