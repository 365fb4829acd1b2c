package weeks

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"endpin/dsp"
	"endpin/piece/diary/packed"
	"endpin/piece/finding"
)

// Return is a finding that had gone and came back after days without practice.
type Return struct {
	Piece, Measure string
	Kind           finding.Kind
	DaysOff        int       // days without a take
	Back           time.Time // the first take afterwards
	Perhaps        bool      // it was told for certain in no take after them
}

// What counts as gone and as come back: in a piece's last takes before the days
// off it was not told, though it had been in at least two before these; and in
// at least two of the first takes after them it was.
const (
	takesGone = 3
	takesBack = 3
	toldTwice = 2
)

// place is what can come back: a kind of finding in a measure.
type place struct {
	measure string
	kind    finding.Kind
}

// CameBack lists what came back after at least so many days without a take of
// the player's.
func (w *Weeks) CameBack(off int) (out []Return) {
	takes, told := w.Takes, w.told()
	for i := 1; i < len(takes); i++ {
		days := daysBetween(takes[i-1].At, takes[i].At)
		if days < off {
			continue
		}
		pieces := map[string]bool{}
		for _, t := range takes[i:] {
			if pieces[t.Piece] {
				continue
			}
			pieces[t.Piece] = true
			after := ofTitle(takes[i:], t.Piece)
			for _, p := range cameBack(ofTitle(takes[:i], t.Piece), after, told) {
				out = append(out, Return{t.Piece, p.measure, p.kind, days, after[0].At, !surely(after, p, told)})
			}
		}
	}
	return out
}

// told is what was told surely enough in each take, and whether for certain.
func (w *Weeks) told() map[int64]map[place]bool {
	told := make(map[int64]map[place]bool, len(w.Takes))
	for i := range w.Takes {
		here := map[place]bool{}
		packed.EachTold(w.Takes[i].Told, func(f packed.Told) {
			if row := f.Kind.Row(); f.Trust != dsp.NotSure && row.About != finding.WholeTake && row.Weight > 0 {
				p := place{f.Measure, f.Kind}
				here[p] = here[p] || f.Trust == dsp.Sure
			}
		})
		told[w.Takes[i].ID] = here
	}
	return told
}

// surely reports whether something was told for certain in any of some takes.
func surely(some []Take, p place, told map[int64]map[place]bool) bool {
	return slices.ContainsFunc(some, func(t Take) bool { return told[t.ID][p] })
}

// cameBack is what had gone in a piece's takes before days off and was told again in
// those after them, in order of its measures.
func cameBack(before, after []Take, told map[int64]map[place]bool) (back []place) {
	if len(before) <= takesGone || len(after) < toldTwice {
		return nil
	}
	count := func(some []Take, p place) (n int) {
		for _, t := range some {
			if _, is := told[t.ID][p]; is {
				n++
			}
		}
		return n
	}
	gone := before[len(before)-takesGone:]
	after = after[:min(takesBack, len(after))]
	for _, a := range after {
		for p := range told[a.ID] {
			if !slices.Contains(back, p) && count(after, p) >= toldTwice && count(gone, p) == 0 && count(before, p) >= toldTwice {
				back = append(back, p)
			}
		}
	}
	slices.SortFunc(back, func(a, b place) int {
		if a.measure != b.measure {
			x, _ := strconv.Atoi(a.measure)
			y, _ := strconv.Atoi(b.measure)
			return x - y
		}
		return strings.Compare(string(a.kind), string(b.kind))
	})
	return back
}

func ofTitle(takes []Take, title string) (some []Take) {
	for _, t := range takes {
		if t.Piece == title {
			some = append(some, t)
		}
	}
	return some
}

// daysBetween counts the days of the calendar without a take between two takes.
func daysBetween(a, b time.Time) int {
	day := func(t time.Time) time.Time {
		y, m, d := t.Date()
		return time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
	}
	return max(0, int(day(b).Sub(day(a)).Hours()/24)-1)
}
