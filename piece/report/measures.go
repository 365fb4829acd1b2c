package report

import (
	"endpin/dsp"
	"endpin/piece/finding"
	"endpin/piece/words"
)

// state is what is to be said of a measure in which nothing stood out.
type state int

const (
	fine    state = iota // every note of it was heard and lies within what is let pass
	told                 // a finding is about it
	untold               // nothing is told of it, and not every note lies within
	faint                // something was heard in it, nothing surely enough
	unheard              // nothing was heard in it
	resting              // nothing is to be played in it
)

// states says what became of each measure of the take.
func (m *music) states(h *finding.Hearing) []state {
	played, sure, within := make([]int, len(m.bars)), make([]int, len(m.bars)), make([]int, len(m.bars))
	for i := range h.Notes {
		n := &h.Notes[i]
		b := m.barOf(n)
		if b < 0 || n.Onset == nil {
			continue
		}
		played[b]++
		if n.Trust != dsp.NotSure && !h.OnlyPitch {
			sure[b]++
			if h.Within(n, m.written(n)) {
				within[b]++
			}
		}
	}
	states := make([]state, len(m.bars))
	for b := range states {
		switch {
		case len(m.bars[b].notes) == 0:
			states[b] = resting
		case played[b] == 0:
			states[b] = unheard
		case sure[b] == 0:
			states[b] = faint
		case within[b] < len(m.bars[b].notes):
			states[b] = untold
		}
	}
	for i := range h.Findings {
		f := &h.Findings[i]
		for _, in := range m.toldIn(f) {
			if f.Kind.Row().About == finding.Hand {
				_, in[1] = m.span(f) // it is marked once, and told of all
			}
			for b := in[0]; b <= in[1]; b++ {
				if nowhere := f.Kind == finding.Missing && states[b] == unheard; !nowhere && (f.Kind != finding.Stopped || states[b] != fine) {
					states[b] = told
				}
			}
		}
	}
	return states
}

// covers gives the measures that a finding is told in; none (-1) where it is
// about the whole take.
func (m *music) covers(f *finding.Finding) (from, to int) {
	if m.whole(f) && f.Kind != finding.NotSure {
		return -1, -1
	}
	from, to = m.span(f)
	if !f.Marked() {
		to = from
	}
	return from, to
}

// toldIn are the measures that a finding is told in, from and to: for what is told once of
// several places, those of each.
func (m *music) toldIn(f *finding.Finding) (all [][2]int) {
	if from, to := m.covers(f); from >= 0 {
		all = append(all, [2]int{from, to})
	}
	for _, p := range f.Places {
		if b := m.bar(p.Measure, p.Pass); b >= 0 && len(all) > 0 {
			all = append(all, [2]int{b, b})
		}
	}
	return all
}

// list names the measures in one state as a player would, "1-5, 7, 9-12", and counts
// them. A measure that comes round twice is named once, and only where it was so each
// time. Rests between two such measures do not break a range.
func (m *music) list(states []state, want state) (ranges words.Linked, measures int) {
	type printed struct {
		number      string
		all, silent bool
	}
	var row []printed
	place := map[int]int{} // by measure of the piece
	for b, bar := range m.bars {
		i, seen := place[bar.Measure]
		if !seen {
			i = len(row)
			place[bar.Measure] = i
			row = append(row, printed{bar.Number, true, true})
		}
		row[i].all = row[i].all && (states[b] == want || states[b] == resting)
		row[i].silent = row[i].silent && states[b] == resting
	}
	var all []words.Sentence
	for i := 0; i < len(row); {
		if !row[i].all || row[i].silent {
			i++
			continue
		}
		last := i
		for j := i + 1; j < len(row) && row[j].all; j++ {
			if !row[j].silent {
				last = j
			}
		}
		all = append(all, m.fromTo(row[i].number, row[last].number))
		measures += last + 1 - i
		i = last + 1
	}
	return words.Row(all...), measures
}

// rest lists the sentences about the measures that no finding is about.
func (m *music) rest(h *finding.Hearing) []string {
	states := m.states(h)
	mend, left, gone := "report.rest.fine", "report.rest.untold", "report.rest.unheard"
	for i := range h.Findings {
		if m.whole(&h.Findings[i]) {
			mend, left = "report.rest.fine-else", "report.rest.untold-else" // than what is in the whole take
		}
		if h.Findings[i].Kind == finding.Stopped {
			gone = "report.rest.beyond" // the end of the recording
		}
	}
	var said []string
	for _, about := range []struct {
		state state
		key   string
	}{{fine, mend}, {untold, left}, {faint, "report.rest.faint"}, {unheard, gone}} {
		if ranges, n := m.list(states, about.state); n > 0 {
			said = append(said, words.Many(about.key, n, "measures", ranges).String())
		}
	}
	return said
}
