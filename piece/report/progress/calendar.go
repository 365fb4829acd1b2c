package progress

import (
	"math"
	"strconv"
	"strings"
	"time"

	"endpin/piece/outside"
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

func calendar(takes []Take, from, to time.Time) []CalendarWeek {
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
	OnPaper        string // the piece, where its row above is not printed; else ""
	Nothing        bool   // nothing was told of it in any week
	Cells          []WeekCell
}

// WeekCell says of how many in ten playings something was told.
type WeekCell struct {
	Text  string
	Shade int // 0 to 4, for the paper
}

func weekTable(measures []Measure) (heads []string, rows []WeekRow) {
	var all [][]trend.WeekOf
	for _, m := range measures {
		all = append(all, m.Weeks)
	}
	mondays := mondaysOf(all)
	piece, printed := "", ""
	for _, m := range measures {
		r := WeekRow{Measure: outside.Line(m.Measure), Nothing: true}
		if m.Piece != piece {
			piece, r.Piece = m.Piece, outside.Line(m.Piece)
		}
		r.fill(m.Weeks, mondays, func(w trend.WeekOf) (string, float64) {
			told := int(*w.Value*float64(w.Times) + 0.5)
			r.Nothing = r.Nothing && told == 0
			return words.Say("report.diary.times", "told", told, "of", w.Times), *w.Value
		})
		if !r.Nothing && m.Piece != printed {
			if printed = m.Piece; r.Piece == "" {
				r.OnPaper = outside.Line(m.Piece)
			}
		}
		rows = append(rows, r)
	}
	return weekHeads(mondays), rows
}

// rhythmTable is weekTable for slips of rhythm, in hundredths of the notes, for the pace of
// passages and for evenness.
func rhythmTable(slips []Rhythm) (heads []string, rows []WeekRow) {
	var all [][]trend.WeekOf
	for _, s := range slips {
		all = append(all, s.Weeks)
	}
	mondays := mondaysOf(all)
	for _, s := range slips {
		r := WeekRow{Piece: outside.Line(s.What)}
		r.fill(s.Weeks, mondays, s.In.told)
		rows = append(rows, r)
	}
	return weekHeads(mondays), rows
}

// told is a week's value, and how dark it is drawn: half the pace, or a semitone, is as far off
// as is told apart.
func (u RhythmUnit) told(w trend.WeekOf) (text string, shade float64) {
	switch v := *w.Value; {
	case u == ShareOfPace && v == 1:
		return words.Say("report.diary.as-the-rest"), 0
	case u == ShareOfPace:
		return words.Say("report.diary.percent", "n", words.Whole(100*v)), min(1, 2*math.Abs(v-1))
	case u == CentsScatter && v == 0:
		return words.Say("report.diary.even"), 0
	case u == CentsScatter:
		return words.Say("report.diary.in-cents", "n", words.Whole(v)), min(1, v/100)
	default:
		return words.Say("report.diary.percent", "n", words.Fixed(100*v, 1)), v
	}
}

// fill writes the cell of each week that has a value, and how dark it is, 0 to 1.
func (r *WeekRow) fill(weeks []trend.WeekOf, mondays []time.Time, tell func(trend.WeekOf) (string, float64)) {
	by := map[string]trend.WeekOf{}
	for _, w := range weeks {
		by[w.Monday.Format(time.DateOnly)] = w
	}
	for _, monday := range mondays {
		w, ok := by[monday.Format(time.DateOnly)]
		if !ok || w.Value == nil || w.Times == 0 {
			r.Cells = append(r.Cells, WeekCell{})
			continue
		}
		text, shade := tell(w)
		r.Cells = append(r.Cells, WeekCell{Text: text, Shade: int(shade*4 + 0.5)})
	}
}

func mondaysOf(all [][]trend.WeekOf) (mondays []time.Time) {
	seen := map[string]bool{}
	for _, weeks := range all {
		for _, w := range weeks {
			if key := w.Monday.Format(time.DateOnly); !seen[key] {
				seen[key] = true
				mondays = append(mondays, w.Monday)
			}
		}
	}
	sortTimes(mondays)
	return mondays
}

func weekHeads(mondays []time.Time) (heads []string) {
	for _, m := range mondays {
		heads = append(heads, words.BriefDay(m).String())
	}
	return heads
}
