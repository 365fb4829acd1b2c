package report

import (
	"slices"

	"endpin/piece/finding"
	"endpin/piece/words"
)

// manyAlike is from how many findings of one kind on they are told in one row.
const manyAlike = 7

// alike are findings that one row tells: one, or all of a kind that there are many of.
type alike struct {
	all   []int // indexes into the hearing's findings, in order of the music
	worst int   // of them, the one farthest beyond what is let pass
}

// gathered are the rows of a hearing, in order of the music.
func (m *music) gathered(h *finding.Hearing) (rows []*alike) {
	count, of := map[finding.Kind]int{}, map[finding.Kind]*alike{}
	for i := range h.Findings {
		if !m.whole(&h.Findings[i]) {
			count[h.Findings[i].Kind]++
		}
	}
	for i := range h.Findings {
		f := &h.Findings[i]
		if m.whole(f) || count[f.Kind] < manyAlike {
			rows = append(rows, &alike{[]int{i}, i})
			continue
		}
		a := of[f.Kind]
		if a == nil {
			a = &alike{worst: i}
			of[f.Kind], rows = a, append(rows, a)
		}
		if a.all = append(a.all, i); h.Beyond(f) > h.Beyond(&h.Findings[a.worst]) {
			a.worst = i
		}
	}
	return rows
}

// where names the measures of a row.
func (a *alike) where(m *music, h *finding.Hearing) string {
	states := make([]state, len(m.bars))
	for _, i := range a.all {
		for _, in := range m.toldIn(&h.Findings[i]) {
			for b := in[0]; b <= in[1]; b++ {
				states[b] = told
			}
		}
	}
	if len(a.all) == 1 {
		return m.where(&h.Findings[a.worst]).String()
	}
	for b := range states {
		if len(m.bars[b].notes) == 0 && states[b] != told {
			states[b] = resting
		}
	}
	ranges, _ := m.anyTime(states, told)
	return ranges.String()
}

// anyTime is list of the measures that are in a state in one of the times that they come
// round.
func (m *music) anyTime(states []state, want state) (ranges words.Linked, measures int) {
	all := slices.Clone(states)
	for b, s := range states {
		for o := range m.bars {
			if s == want && m.bars[o].Measure == m.bars[b].Measure {
				all[o] = want
			}
		}
	}
	return m.list(all, want)
}

// what says what a row tells, and howMuch the farthest of it.
func (a *alike) what(m *music, h *finding.Hearing, o Options) string {
	f := &h.Findings[a.worst]
	if len(a.all) == 1 {
		return m.what(f, h, o)
	}
	return words.Many("report.alike", len(a.all), "kind", f.Kind.Name()).String()
}

func (a *alike) howMuch(m *music, h *finding.Hearing) string {
	amount := m.howMuch(&h.Findings[a.worst], h)
	same := !slices.ContainsFunc(a.all, func(i int) bool { return m.howMuch(&h.Findings[i], h) != amount })
	if same || amount == "" {
		return amount
	}
	return words.Say("report.alike.worst", "amount", amount)
}
