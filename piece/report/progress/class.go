package progress

import (
	"io"
	"math"
	"sort"
	"strings"
	"time"

	"endpin/piece/outside"
	"endpin/piece/trend"
	"endpin/piece/words"
)

// ClassModel is what a teacher's page of many players is filled with.
type ClassModel struct {
	From, To time.Time
	Players  []Model
}

// TeachersPage is what many players' weeks come to in words.
type TeachersPage struct {
	Span    string
	Story   []string
	Players []TeachersRow
}

// TeachersRow is one player: the shifts that came nearer, those that stand still
// beyond the tolerance, and those that go off.
type TeachersRow struct {
	Name  string
	Takes string
	Moved []string
	Stuck []string
	Off   []string // opening
}

// ClassHTML writes who moved and who is stuck and on what, by name and without
// rank. The error is w's.
func ClassHTML(w io.Writer, m ClassModel) error {
	return pageTemplate.ExecuteTemplate(w, "class", TeachersPageOf(m))
}

// TeachersPageOf puts many players' weeks into words.
func TeachersPageOf(m ClassModel) TeachersPage {
	pg := TeachersPage{Span: daysShown(m.From, m.To).String()}
	var moved, stuck []string
	for _, p := range m.Players {
		r := TeachersRow{Name: outside.Line(p.Player), Takes: takes(len(p.Takes)).String()}
		for _, s := range p.Shifts {
			said := func(how string) string {
				return words.Say("report.players."+how, "piece", outside.Line(s.Piece), "measure", outside.Line(s.Measure), "how", howOf(s.Shift),
					"first", rounded(s.First), "last", rounded(s.Last), "spread", words.Whole(s.Spread))
			}
			switch {
			case s.Verdict == trend.Closing:
				r.Moved = append(r.Moved, said("moved"))
			case s.Verdict == trend.Opening:
				r.Off = append(r.Off, said("moved"))
			case s.Verdict == trend.Scattered:
				r.Stuck = append(r.Stuck, said("scattered"))
			case s.Verdict == trend.Holding && math.Abs(s.Last) > s.Tolerance:
				r.Stuck = append(r.Stuck, said("still"))
			}
		}
		if len(r.Moved) > 0 {
			moved = append(moved, r.Name)
		}
		if len(r.Stuck)+len(r.Off) > 0 {
			stuck = append(stuck, r.Name)
		}
		pg.Players = append(pg.Players, r)
	}
	sort.SliceStable(pg.Players, func(i, j int) bool {
		return strings.ToLower(pg.Players[i].Name) < strings.ToLower(pg.Players[j].Name)
	})
	pg.Story = []string{words.Say("report.players.nearer", "who", named(moved)), words.Say("report.players.stuck", "who", named(stuck))}
	return pg
}

// named lists players by name, or says how many there are where a list would be
// long.
func named(names []string) words.Sayer {
	switch n := len(names); {
	case n == 0:
		return words.Of("report.players.nobody")
	case n > 8:
		return words.Many("report.players.many", n)
	}
	names = append([]string(nil), names...)
	sort.Slice(names, func(i, j int) bool { return strings.ToLower(names[i]) < strings.ToLower(names[j]) })
	return words.List(names)
}
