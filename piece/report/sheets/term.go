package sheets

import (
	"io"
	"slices"
	"time"

	"endpin/piece/class"
	"endpin/piece/outside"
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
	Spans               []termSpan // of weeks, the newest first
	Moved, Still        []string
	Missing             []string
	Questions           []string
	Unplaced, LeftOut   []class.LeftOut
}

type termPiece struct{ Title, Page string }

// termSpan is some weeks that stand in one table.
type termSpan struct {
	Earlier string // what they are called where they are not the newest; "" where they are
	Weeks   []string
	Rows    []termRow
}

type termRow struct {
	Name, Page string
	Cells      []termCell
}

// termCell is a student's week.
type termCell struct {
	At     string // its week, for a phone
	Played []termPlayed
}

// termPlayed is what a student played of one piece in a week.
type termPlayed struct {
	Piece string // "" where there is one piece only
	Told  string
	Moved string
	Title string
}

// inOneTable is how many weeks stand side by side: so many go across a screen, and a sheet.
const inOneTable = 6

// TermHTML writes a class over its weeks as one page that needs nothing else: students ×
// weeks × pieces, what moved since the time before, what is still told, who is missing. The
// error is w's.
func TermHTML(w io.Writer, t *class.Term, o TermOptions) error {
	pg := termPage{Title: words.Say("report.term.title"), Remark: outside.Line(o.Remark)}
	if t.SchoolYear != "" {
		pg.Year = words.Say("report.term.year", "year", outside.Line(t.SchoolYear))
	}
	for _, p := range t.Pieces {
		pg.Pieces = append(pg.Pieces, termPiece{outside.Line(p), o.Sheets[p]})
	}
	for end := len(t.Weeks); end > 0; end -= inOneTable {
		span := termSpan{}
		weeks := t.Weeks[max(0, end-inOneTable):end]
		if end < len(t.Weeks) {
			span.Earlier = words.Say("report.term.earlier", "week", weekFrom(weeks[0]))
		}
		for _, week := range weeks {
			span.Weeks = append(span.Weeks, weekFrom(week))
		}
		for i := range t.Students {
			span.Rows = append(span.Rows, termRowOf(t, &t.Students[i], weeks, o.Pages))
		}
		pg.Spans = append(pg.Spans, span)
	}
	for i := range t.Students {
		pg.tell(t, &t.Students[i])
	}
	pg.Missing = missing(t)
	pg.Questions = questionsOf(t.Questions)
	for _, u := range t.Unplaced {
		pg.Unplaced = append(pg.Unplaced, class.LeftOut{File: words.Say("report.term.unplaced.of", "name", outside.Line(u.Student), "recording", outside.Line(u.Recording)), Reason: outside.Line(u.Reason)})
	}
	pg.LeftOut = t.LeftOut
	return classTemplates.ExecuteTemplate(w, "term.gohtml", pg)
}

// termRowOf is a student's row over some weeks.
func termRowOf(t *class.Term, s *class.TermStudent, weeks []string, pages Pages) termRow {
	row := termRow{Name: outside.Line(s.Name)}
	if pages != nil {
		row.Page = pages(s.Name)
	}
	for _, week := range weeks {
		cell := termCell{At: weekFrom(week)}
		for _, piece := range t.Pieces {
			l := s.In(week, piece)
			if l == nil {
				continue
			}
			p := termPlayed{Told: words.Many("report.term.told", l.Told).String(), Title: outside.Line(l.Moved)}
			if len(t.Pieces) > 1 {
				p.Piece = outside.Line(piece)
			}
			if l.Told == 0 {
				p.Told = words.Say("report.term.told.nothing")
			}
			if l.Ends != "" {
				p.Told = words.Say("report.term.ends", "told", p.Told, "measure", outside.Line(l.Ends))
			}
			if l.Before != "" && l.Better > 0 {
				p.Moved = words.Say("report.term.better", "n", l.Better)
			}
			cell.Played = append(cell.Played, p)
		}
		row.Cells = append(row.Cells, cell)
	}
	return row
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
		said := words.Say("report.term.moved.of", "name", outside.Line(s.Name), "piece", outside.Line(piece), "moved", outside.Line(l.Moved))
		switch {
		case l.Better > 0:
			pg.Moved = append(pg.Moved, said)
		case l.Still > 0:
			pg.Still = append(pg.Still, said)
		}
	}
}

// missing are those of whom nothing was heard in the newest week, apart from them those who did send
// something, then, for each piece that most played in it, those who did not.
func missing(t *class.Term) (all []string) {
	if len(t.Weeks) == 0 {
		return nil
	}
	newest := t.Weeks[len(t.Weeks)-1]
	none := func(s *class.TermStudent) bool {
		return !slices.ContainsFunc(s.Lessons, func(l class.TermCell) bool { return l.Week == newest })
	}
	names := func(is func(*class.TermStudent) bool) words.Sayer {
		var names []string
		for i := range t.Students {
			if is(&t.Students[i]) {
				names = append(names, outside.Line(t.Students[i].Name))
			}
		}
		if len(names) == 0 {
			return nil
		}
		return words.Row(names...)
	}
	if who := names(func(s *class.TermStudent) bool { return none(s) && !t.Unheard(s.Name) }); who != nil {
		all = append(all, words.Say("report.term.missing.all", "names", who))
	}
	if who := names(func(s *class.TermStudent) bool { return none(s) && t.Unheard(s.Name) }); who != nil {
		all = append(all, words.Say("report.term.missing.unheard", "names", who))
	}
	for _, piece := range t.Pieces {
		if who := names(func(s *class.TermStudent) bool { return !none(s) && slices.Contains(s.Missing, piece) }); who != nil {
			all = append(all, words.Say("report.term.missing.of", "piece", outside.Line(piece), "names", who))
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
