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

type classPage struct {
	Span    string
	Story   string
	Players []classRow
}

type classRow struct {
	Name  string
	Takes string
	Moved []string
	Stuck []string
	Off   []string // opening
}

// DiaryClass writes who moved and who is stuck and on what, by name and without
// rank. The error is w's.
func DiaryClass(w io.Writer, m DiaryClassModel) error {
	pg := classPage{Span: span(m.From, m.To)}
	moved, stuck := 0, 0
	for _, p := range m.Players {
		r := classRow{Name: clean(p.Player), Takes: counted(fmt.Sprint(len(p.Takes)), "take")}
		for _, s := range p.Shifts {
			said := fmt.Sprintf("%s: %s", upper(whereOf(s.Shift)), howOf(s.Shift))
			change := fmt.Sprintf(", %s → %s cents", signed(math.Round(s.First)), signed(math.Round(s.Last)))
			switch {
			case s.Verdict == trend.Closing:
				r.Moved = append(r.Moved, said+change)
			case s.Verdict == trend.Opening:
				r.Off = append(r.Off, said+change)
			case s.Verdict == trend.Scattered:
				r.Stuck = append(r.Stuck, said+fmt.Sprintf(", scattered by %.0f cents", s.Spread))
			case s.Verdict == trend.Holding && math.Abs(s.Last) > s.Tolerance:
				r.Stuck = append(r.Stuck, said+fmt.Sprintf(", %s cents", signed(math.Round(s.Last))))
			}
		}
		if len(r.Moved) > 0 {
			moved++
		}
		if len(r.Stuck)+len(r.Off) > 0 {
			stuck++
		}
		pg.Players = append(pg.Players, r)
	}
	sort.SliceStable(pg.Players, func(i, j int) bool {
		return strings.ToLower(pg.Players[i].Name) < strings.ToLower(pg.Players[j].Name)
	})
	pg.Story = fmt.Sprintf("Of %s, %d came nearer on a shift; %d have one that stands still or goes off.", counted(fmt.Sprint(len(pg.Players)), "player"), moved, stuck)
	return diaryTemplate.ExecuteTemplate(w, "class", pg)
}
