package report

import (
	"io"
	"slices"
	"time"

	"endpin/piece/class"
	"endpin/piece/words"
)

// TermOptions are how a class over its weeks is told.
type TermOptions struct {
	Pages  Pages             // nil for none
	Sheets map[string]string // the sheet's file of each piece
	Remark string            // the teacher's for the class
}

// termPage is what the template is filled with.
type termPage struct {
	Title, Year, Remark string
	Pieces              []termPiece
	Weeks               []termWeek
	Heads               []termCell // a piece a column
	Rows                []termRow
	Moved, Still        []string
	Missing             []string
	Questions           []string
	Unplaced, LeftOut   []class.LeftOut
}

type termPiece struct{ Title, Page string }

type termWeek struct {
	From string
	Span int
}

type termRow struct {
	Name, Page string
	Cells      []termCell
}

type termCell struct {
	At    string // its column's, for a phone
	Told  string
	Moved string
	Title string
	New   bool // begins a week
}

// TermHTML writes a class over its weeks as one page that needs nothing else: students ×
// weeks × pieces, what moved since the time before, what stands still, who is missing. The
// error is w's.
func TermHTML(w io.Writer, t *class.Term, o TermOptions) error {
	pg := termPage{Title: words.Say("report.term.title"), Remark: clean(o.Remark)}
	if t.SchoolYear != "" {
		pg.Year = words.Say("report.term.year", "year", clean(t.SchoolYear))
	}
	for _, p := range t.Pieces {
		pg.Pieces = append(pg.Pieces, termPiece{clean(p), o.Sheets[p]})
	}
	columns := termColumns(t)
	for i, c := range columns {
		if i == 0 || columns[i-1].week != c.week {
			pg.Weeks = append(pg.Weeks, termWeek{From: weekFrom(c.week)})
		}
		pg.Weeks[len(pg.Weeks)-1].Span++
		pg.Heads = append(pg.Heads, termCell{At: clean(c.piece), New: i == 0 || columns[i-1].week != c.week})
	}
	for i := range t.Students {
		s := &t.Students[i]
		row := termRow{Name: clean(s.Name)}
		if o.Pages != nil {
			row.Page = o.Pages(s.Name)
		}
		for k, c := range columns {
			cell := termCell{At: words.Say("report.term.at", "week", weekFrom(c.week), "piece", clean(c.piece)), New: k == 0 || columns[k-1].week != c.week}
			if l := s.In(c.week, c.piece); l != nil {
				cell.Told, cell.Title = words.Many("report.term.told", l.Told).String(), clean(l.Moved)
				if l.Told == 0 {
					cell.Told = words.Say("report.term.told.nothing")
				}
				if l.Before != "" && l.Better > 0 {
					cell.Moved = words.Say("report.term.better", "n", l.Better)
				}
			}
			row.Cells = append(row.Cells, cell)
		}
		pg.Rows = append(pg.Rows, row)
		pg.tell(t, s)
	}
	pg.Missing = missing(t)
	pg.Questions = questionsOf(t.Questions)
	for _, u := range t.Unplaced {
		pg.Unplaced = append(pg.Unplaced, class.LeftOut{File: words.Say("report.term.unplaced.of", "name", clean(u.Student), "recording", clean(u.Recording)), Reason: clean(u.Reason)})
	}
	pg.LeftOut = t.LeftOut
	return classTemplates.ExecuteTemplate(w, "term.gohtml", pg)
}

// tell puts what moved in the newest week into sentences.
func (pg *termPage) tell(t *class.Term, s *class.TermStudent) {
	if len(t.Weeks) == 0 {
		return
	}
	for _, piece := range t.Pieces {
		l := s.In(t.Weeks[len(t.Weeks)-1], piece)
		if l == nil || l.Moved == "" {
			continue
		}
		said := words.Say("report.term.moved.of", "name", clean(s.Name), "piece", clean(piece), "moved", clean(l.Moved))
		switch {
		case l.Better > 0:
			pg.Moved = append(pg.Moved, said)
		case l.Still > 0:
			pg.Still = append(pg.Still, said)
		}
	}
}

// missing are, for each piece that was played in the newest week, those who did not.
func missing(t *class.Term) (all []string) {
	for _, piece := range t.Pieces {
		var names []string
		for i := range t.Students {
			if slices.Contains(t.Students[i].Missing, piece) {
				names = append(names, clean(t.Students[i].Name))
			}
		}
		if len(names) > 0 {
			all = append(all, words.Say("report.term.missing.of", "piece", clean(piece), "names", words.Row(names...)))
		}
	}
	return all
}

type termColumn struct{ week, piece string }

// termColumns are the pieces of each week in which anybody played them.
func termColumns(t *class.Term) (all []termColumn) {
	for _, week := range t.Weeks {
		for _, piece := range t.Pieces {
			for i := range t.Students {
				if t.Students[i].In(week, piece) != nil {
					all = append(all, termColumn{week, piece})
					break
				}
			}
		}
	}
	return all
}

func weekFrom(monday string) string {
	at, err := time.Parse(time.DateOnly, monday)
	if err != nil {
		return monday
	}
	return words.Say("report.term.week", "day", words.BriefDay(at))
}
