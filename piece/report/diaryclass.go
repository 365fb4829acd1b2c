package report

import (
	"fmt"
	"io"
	"math"
	"sort"
	"strings"
	"time"

	"endpin/piece/trend"
)

// DiaryClassModel is what a teacher's page of many players is filled with.
type DiaryClassModel struct {
	From, To time.Time
	Players  []DiaryModel
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

// DiaryClass writes who moved and who is stuck and on what, by name and without
// rank. The error is w's.
func DiaryClass(w io.Writer, m DiaryClassModel) error {
	return diaryTemplate.ExecuteTemplate(w, "class", TeachersPageOf(m))
}

// TeachersPageOf puts many players' weeks into words.
func TeachersPageOf(m DiaryClassModel) TeachersPage {
	pg := TeachersPage{Span: daysShown(m.From, m.To)}
	var moved, stuck []string
	for _, p := range m.Players {
		r := TeachersRow{Name: clean(p.Player), Takes: counted(fmt.Sprint(len(p.Takes)), "take")}
		for _, s := range p.Shifts {
			said := fmt.Sprintf("%s, measure %s, %s: ", clean(s.Piece), clean(s.Measure), howOf(s.Shift))
			change := fmt.Sprintf("%s → %s cents", signed(math.Round(s.First)), signed(math.Round(s.Last)))
			switch {
			case s.Verdict == trend.Closing:
				r.Moved = append(r.Moved, said+change)
			case s.Verdict == trend.Opening:
				r.Off = append(r.Off, said+change)
			case s.Verdict == trend.Scattered:
				r.Stuck = append(r.Stuck, said+fmt.Sprintf("scattered by %.0f cents", s.Spread))
			case s.Verdict == trend.Holding && math.Abs(s.Last) > s.Tolerance:
				r.Stuck = append(r.Stuck, said+fmt.Sprintf("%s cents", signed(math.Round(s.Last))))
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
	pg.Story = []string{"Came nearer on a shift: " + named(moved) + ".", "Have a shift that stands still or goes off: " + named(stuck) + "."}
	return pg
}

// named lists players by name, or says how many there are where a list would be
// long.
func named(names []string) string {
	switch n := len(names); {
	case n == 0:
		return "nobody"
	case n > 8:
		return counted(fmt.Sprint(n), "player")
	case n == 1:
		return names[0]
	}
	names = append([]string(nil), names...)
	sort.Slice(names, func(i, j int) bool { return strings.ToLower(names[i]) < strings.ToLower(names[j]) })
	return strings.Join(names[:len(names)-1], ", ") + " and " + names[len(names)-1]
}
