package report

import (
	"strconv"
	"strings"
	"time"

	"endpin/piece/trend"
	"endpin/piece/words"
)

// CalendarWeek is one row of the calendar: Monday to Sunday.
type CalendarWeek struct {
	Name string
	Days []CalendarDay
}

// CalendarDay holds how many takes a day had; outside the span it is blank.
type CalendarDay struct {
	Number string
	Takes  int
	In     bool
	Label  string
}

func calendar(takes []DiaryTake, from, to time.Time) []CalendarWeek {
	byDay := map[string]int{}
	for _, t := range takes {
		byDay[t.When.Format(time.DateOnly)]++
	}
	var weeks []CalendarWeek
	d := dayStart(from)
	for d.Weekday() != time.Monday {
		d = d.AddDate(0, 0, -1)
	}
	for !d.After(to) {
		w := CalendarWeek{Name: words.BriefDay(d).String()}
		for k := 0; k < 7; k++ {
			n := byDay[d.Format(time.DateOnly)]
			w.Days = append(w.Days, CalendarDay{Number: strconv.Itoa(d.Day()), Takes: n, In: !d.Before(dayStart(from)) && !d.After(to),
				Label: words.Many("report.diary.day", n, "day", words.DayOfWeek(d)).String()})
			d = d.AddDate(0, 0, 1)
		}
		weeks = append(weeks, w)
	}
	return weeks
}

// Dots is the takes as marks, and a number where there are many.
func (d CalendarDay) Dots() string {
	switch {
	case d.Takes == 0:
		return ""
	case d.Takes <= 4:
		return strings.Repeat("•", d.Takes)
	}
	return strconv.Itoa(d.Takes)
}

// WeekRow is one measure over the weeks.
type WeekRow struct {
	Piece, Measure string
	Cells          []WeekCell
}

// WeekCell says of how many in ten playings something was told.
type WeekCell struct {
	Text  string
	Shade int // 0 to 4, for the paper
}

func weekTable(measures []DiaryMeasure) (heads []string, rows []WeekRow) {
	var mondays []time.Time
	seen := map[string]bool{}
	for _, m := range measures {
		for _, w := range m.Weeks {
			if key := w.Monday.Format(time.DateOnly); !seen[key] {
				seen[key] = true
				mondays = append(mondays, w.Monday)
			}
		}
	}
	sortTimes(mondays)
	for _, m := range mondays {
		heads = append(heads, words.BriefDay(m).String())
	}
	piece := ""
	for _, m := range measures {
		r := WeekRow{Measure: clean(m.Measure)}
		if m.Piece != piece {
			piece, r.Piece = m.Piece, clean(m.Piece)
		}
		by := map[string]trend.WeekOf{}
		for _, w := range m.Weeks {
			by[w.Monday.Format(time.DateOnly)] = w
		}
		for _, monday := range mondays {
			w, ok := by[monday.Format(time.DateOnly)]
			if !ok || w.Value == nil || w.Times == 0 {
				r.Cells = append(r.Cells, WeekCell{})
				continue
			}
			told := int(*w.Value*float64(w.Times) + 0.5)
			r.Cells = append(r.Cells, WeekCell{Text: words.Say("report.diary.times", "told", told, "of", w.Times), Shade: int(*w.Value*4 + 0.5)})
		}
		rows = append(rows, r)
	}
	return heads, rows
}
