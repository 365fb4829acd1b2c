package class

import (
	"slices"
	"strings"
	"time"

	"endpin/piece"
	"endpin/piece/finding"
	"endpin/piece/trend"
)

// Term is a class over its weeks and pieces: who played what when, what moved from one
// time to the next, and who is missing.
type Term struct {
	Version    int           `json:"version"`
	SchoolYear string        `json:"school_year"` // that its diary is of; "" where none is kept
	Pieces     []string      `json:"pieces"`
	Weeks      []string      `json:"weeks"` // their Mondays, ISO 8601, in order
	Students   []TermStudent `json:"students"`
	Sheets     []*Sheet      `json:"sheets"` // of the newest takes, one a piece
	Questions  []Question    `json:"questions"`
	Unplaced   []Unplaced    `json:"unplaced"`
	LeftOut    []LeftOut     `json:"left_out"`
}

// TermStudent is one student over the weeks.
type TermStudent struct {
	Name    string     `json:"name"`
	Lessons []TermCell `json:"lessons"` // the newest of each week and piece
	Missing []string   `json:"missing"` // pieces that were played in the newest week, and he or she did not: all where nothing was, else those that most played
}

// TermCell is what a student's newest take of a piece in a week tells.
type TermCell struct {
	Week     string `json:"week"`
	Piece    string `json:"piece"`
	PlayedAt string `json:"played_at"`
	Told     int    `json:"told"`   // things to mend
	Ends     string `json:"ends"`   // the measure in which the recording ends; "" where it holds the whole
	Before   string `json:"before"` // when the take before it was played; "" for none
	Better   int    `json:"better"` // of those told before: no more
	Still    int    `json:"still"`  // of those told now: before, too
	New      int    `json:"new"`
	Moved    string `json:"moved"` // as a sentence
}

// Lessons are a student's takes of one piece, in any order.
type Lessons struct {
	Student string
	Piece   *piece.Piece
	Title   string
	All     []Lesson
}

// OverWeeks gathers a class over its weeks from all that was played; titles give the order
// of the pieces, students are those who are missing where they did not play.
func OverWeeks(titles, students []string, all []Lessons) *Term {
	t := &Term{Version: 1, Pieces: append([]string{}, titles...), Weeks: []string{}, Students: []TermStudent{}, Questions: []Question{}, Unplaced: []Unplaced{}, LeftOut: []LeftOut{}}
	at := map[string]int{}
	of := func(name string) *TermStudent {
		i, known := at[key(name)]
		if !known {
			i = len(t.Students)
			at[key(name)] = i
			t.Students = append(t.Students, TermStudent{Name: name, Lessons: []TermCell{}, Missing: []string{}})
		}
		return &t.Students[i]
	}
	for _, name := range students {
		of(name)
	}
	for _, l := range all {
		st := of(l.Student)
		for _, c := range cellsOf(l) {
			st.Lessons = append(st.Lessons, c)
			if !slices.Contains(t.Weeks, c.Week) {
				t.Weeks = append(t.Weeks, c.Week)
			}
		}
	}
	slices.Sort(t.Weeks)
	slices.SortStableFunc(t.Students, func(a, b TermStudent) int { return strings.Compare(key(a.Name), key(b.Name)) })
	for i := range t.Students {
		l := t.Students[i].Lessons
		slices.SortStableFunc(l, func(a, b TermCell) int { return strings.Compare(a.Week, b.Week) })
	}
	if len(t.Weeks) == 0 {
		return t
	}
	t.missing(t.Weeks[len(t.Weeks)-1])
	return t
}

// missing notes who did not play in a week. Where a piece was played by half of those who played or
// fewer it was some students' own, and nobody who played another misses it.
func (t *Term) missing(week string) {
	playing := 0
	times := map[string]int{}
	for i := range t.Students {
		played := 0
		for _, title := range t.Pieces {
			if t.Students[i].In(week, title) != nil {
				times[title]++
				played = 1
			}
		}
		playing += played
	}
	for i := range t.Students {
		s := &t.Students[i]
		none := !slices.ContainsFunc(s.Lessons, func(l TermCell) bool { return l.Week == week })
		for _, title := range t.Pieces {
			if n := times[title]; n > 0 && s.In(week, title) == nil && (none || 2*n > playing) {
				s.Missing = append(s.Missing, title)
			}
		}
	}
}

// In is what the student played of a piece in a week; nil for nothing.
func (s *TermStudent) In(week, title string) *TermCell {
	for i := range s.Lessons {
		if c := &s.Lessons[i]; c.Week == week && c.Piece == title {
			return c
		}
	}
	return nil
}

// Unheard reports whether the student sent a recording in which nothing of these pieces was heard.
func (t *Term) Unheard(student string) bool {
	return slices.ContainsFunc(t.Unplaced, func(u Unplaced) bool { return u.Student == student && !u.NotYet }) ||
		slices.ContainsFunc(t.Sheets, func(s *Sheet) bool {
			return slices.ContainsFunc(s.Students, func(st Student) bool { return st.Name == student && st.Status == NotHeard })
		})
}

// inTime are the takes whose time is known, in its order.
func (l *Lessons) inTime() []Lesson {
	takes := slices.DeleteFunc(slices.Clone(l.All), func(x Lesson) bool { return x.At.IsZero() })
	slices.SortStableFunc(takes, func(a, b Lesson) int { return a.At.Compare(b.At) })
	return takes
}

// Beside says what became, in the take that counts, of what was told of the student's newest take of
// a week before or, where there is none, of the newest before it; of all that the class played.
func (st *Student) Beside(now Lesson, title string, all []Lessons) {
	var own Lessons
	for _, l := range all {
		if key(l.Student) == key(st.Name) && l.Title == title {
			own.Piece, own.All = l.Piece, append(own.All, l.All...)
		}
	}
	var before *Lesson
	week := trend.Monday(now.At)
	for _, x := range own.inTime() {
		if x.At.Before(now.At) && (before == nil || x.At.Before(week) || !before.At.Before(week)) {
			before = &x
		}
	}
	st.Since, st.Moved, st.moved = time.Time{}, "", nil
	if before != nil {
		moved := Compare(own.Piece, *before, now)
		st.Since, st.Moved, st.moved = before.At, moved.Text(), &moved
	}
}

// cellsOf are the newest takes of each week, each compared with the last of a week before.
func cellsOf(l Lessons) (cells []TermCell) {
	takes := l.inTime()
	var before *Lesson
	for i := range takes {
		week := trend.Monday(takes[i].At).Format(time.DateOnly)
		if i+1 < len(takes) && trend.Monday(takes[i+1].At).Format(time.DateOnly) == week {
			continue
		}
		c := TermCell{Week: week, Piece: l.Title, PlayedAt: iso(takes[i].At)}
		for k := range takes[i].Hearing.Findings {
			if f := &takes[i].Hearing.Findings[k]; Unplayed(f) {
				c.Ends = f.Measure
			}
		}
		c.Told = len(Compare(l.Piece, Lesson{Hearing: &finding.Hearing{}}, takes[i]).New) // also where the take before does not let it be compared
		if before == nil {
			c.New = c.Told
		} else {
			m := Compare(l.Piece, *before, takes[i])
			c.Before, c.Better, c.Still, c.New, c.Moved = iso(before.At), len(m.Better), len(m.Still), len(m.New), m.Text()
		}
		before = &takes[i]
		cells = append(cells, c)
	}
	return cells
}

// Strip leaves out of a lesson what the teacher struck.
func (o *Own) Strip(title string, l Lesson) Lesson {
	h := *l.Hearing
	h.Findings = slices.DeleteFunc(slices.Clone(h.Findings), func(f finding.Finding) bool { return o.Strikes(StrikeOf(title, &f)) })
	h.WorthFixing, l.Hearing = nil, &h // whose indexes are no more
	return l
}

// SchoolYear is the year of school that a day lies in, as most name it, and the day after it:
// it ends with July (common practice; south of the equator the calendar's is told by its name).
func SchoolYear(now time.Time) (name string, end time.Time) {
	year := now.Year()
	if now.Month() < time.August {
		year--
	}
	begin := time.Date(year, time.August, 1, 0, 0, 0, 0, now.Location())
	return begin.Format("2006") + "-" + begin.AddDate(1, 0, 0).Format("06"), begin.AddDate(1, 0, 0)
}
