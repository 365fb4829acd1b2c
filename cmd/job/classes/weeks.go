package classes

import (
	"encoding/json"
	"io"
	"os"
	"path/filepath"
	"slices"
	"time"

	"endpin/cmd/job"
	"endpin/piece"
	"endpin/piece/class"
	"endpin/piece/diary"
	"endpin/piece/finding"
	"endpin/piece/words"
)

// Weeks are what a teacher said of keeping a class's weeks: asked once, kept in its folder.
type Weeks struct {
	Asked      bool      `json:"asked"`
	Keep       bool      `json:"keep"`
	Sound      bool      `json:"sound"` // keep the recordings too
	SchoolYear string    `json:"school_year"`
	Until      time.Time `json:"until"` // the day after it
}

const weeksKept = "weeks.json"

// WeeksIn reads what was said for the class in a folder. The error is one line.
func WeeksIn(out string) (w Weeks, err error) {
	path := filepath.Join(out, classKept, weeksKept)
	data, err := os.ReadFile(path)
	if os.IsNotExist(err) {
		return w, nil
	}
	if err == nil {
		err = json.Unmarshal(data, &w)
	}
	if err != nil {
		return w, job.OfFile(path, job.Cause(err))
	}
	return w, nil
}

// KeepWeeks writes down what was said. A year that is not named is the one of now; one that is over
// begins anew, and its diary stays as it is.
func KeepWeeks(out string, w Weeks, now time.Time) (Weeks, error) {
	w.Asked = true
	if name, end := class.SchoolYear(now); w.Keep && (w.SchoolYear == "" || !now.Before(w.Until)) {
		if w.SchoolYear == "" || !w.Until.IsZero() {
			w.SchoolYear = name
		}
		w.Until = end
	}
	if err := os.MkdirAll(filepath.Join(out, classKept), 0o700); err != nil {
		return w, words.Fault("job.cannot-be-made", "folder", out, "err", job.Cause(err))
	}
	return w, job.WriteFile(filepath.Join(out, classKept, weeksKept), func(to io.Writer) error { return job.WriteJSON(to, w) })
}

// Diary is the file of the class's diary of that school year.
func (w Weeks) Diary(out string) string {
	return filepath.Join(out, "class "+fileNamed(w.SchoolYear, "year")+".diary")
}

// TermOf puts what was heard into the class's diary where one is kept, and gathers the weeks
// of it; where none is kept, of the takes in the folder.
func TermOf(out string, c *Class, heard *Heard, weeks Weeks, remarks *class.Remarks, instrument string, now time.Time) (*class.Term, error) {
	var titles, students []string
	for k, s := range heard.Sheets {
		titles = append(titles, s.Piece)
		for i := range s.Students {
			if k == 0 {
				students = append(students, s.Students[i].Name)
			}
		}
	}
	lessons := map[[2]string]*class.Lessons{}
	var order [][2]string
	played := map[*finding.Hearing]time.Time{} // of what was heard now, by the diary
	add := func(k int, student string, l class.Lesson) {
		id := [2]string{student, titles[k]}
		if lessons[id] == nil {
			lessons[id] = &class.Lessons{Student: student, Piece: c.Pieces[k].Piece, Title: titles[k]}
			order = append(order, id)
		}
		lessons[id].All = append(lessons[id].All, remarks.For(student).Strip(titles[k], l))
	}
	if weeks.Keep {
		var err error
		if played, err = remembered(out, c, heard, weeks, instrument, now); err != nil {
			return nil, err
		}
		d, err := diary.OpenThere(weeks.Diary(out))
		if err != nil {
			return nil, err
		}
		defer d.Close()
		for k, p := range c.Pieces {
			line, _ := p.Piece.Line()
			all, err := d.Heard(diary.Span{Piece: piece.Content(line)})
			if err != nil {
				return nil, err
			}
			for _, x := range all {
				add(k, x.Player, class.LessonOf(p.Piece, x.Hearing, x.At))
			}
		}
	} else {
		eachHeard(heard, func(k int, st *class.Student, p *Played) error {
			add(k, st.Name, class.LessonOf(c.Pieces[k].Piece, p.Hearing, p.At))
			return nil
		})
	}
	var all []class.Lessons
	for _, id := range order {
		all = append(all, *lessons[id])
	}
	for k, s := range heard.Sheets {
		for i := range s.Students {
			if st := &s.Students[i]; st.Hearing != nil {
				at, kept := played[st.Hearing]
				if !kept {
					at = st.At
				}
				st.Beside(remarks.For(st.Name).Strip(titles[k], class.LessonOf(c.Pieces[k].Piece, st.Hearing, at)), titles[k], all)
			}
		}
	}
	t := class.OverWeeks(titles, students, all)
	t.Sheets, t.Unplaced = heard.Sheets, append(t.Unplaced, heard.Unplaced...)
	if weeks.Keep {
		t.SchoolYear = weeks.SchoolYear
	}
	if len(heard.Sheets) > 0 {
		t.Questions, t.LeftOut = heard.Sheets[0].Questions, slices.Clone(heard.Sheets[0].LeftOut)
	}
	if weeks.Keep {
		err := eachHeard(heard, func(_ int, _ *class.Student, p *Played) error {
			if p.At.After(now.Add(diary.Ahead)) { // the diary reckons nothing from it
				t.LeftOut = append(t.LeftOut, class.LeftOut{File: p.File, Reason: words.Say("job.class.to-come", "date", words.Day(p.At))})
			}
			return nil
		})
		if err != nil {
			return nil, err
		}
	}
	return t, nil
}

// Told are the weeks as they are told: of several pieces, of weeks that are kept, and where more
// than one was played; else nil.
func (w Weeks) Told(t *class.Term) *class.Term {
	if len(t.Pieces) > 1 || w.Keep || len(t.Weeks) > 1 {
		return t
	}
	return nil
}

// eachHeard goes through all takes of all students in which a piece was heard.
func eachHeard(heard *Heard, do func(piece int, st *class.Student, p *Played) error) error {
	for k, s := range heard.Sheets {
		for i := range s.Students {
			for _, t := range s.Students[i].Takes {
				if p := heard.Played[t.Recording]; p.Hearing != nil {
					if err := do(k, &s.Students[i], &p); err != nil {
						return err
					}
				}
			}
		}
	}
	return nil
}

// remembered puts all takes of the school year into its diary, which says when each was played: of a
// copy, when it was first heard.
func remembered(out string, c *Class, heard *Heard, weeks Weeks, instrument string, now time.Time) (map[*finding.Hearing]time.Time, error) {
	d, err := diary.Open(weeks.Diary(out))
	if err != nil {
		return nil, err
	}
	defer d.Close()
	begin, played := weeks.Until.AddDate(-1, 0, 0), map[*finding.Hearing]time.Time{}
	return played, eachHeard(heard, func(k int, st *class.Student, p *Played) error {
		if p.At.IsZero() || p.At.Before(begin) || !p.At.Before(weeks.Until) {
			return nil
		}
		at := p.At
		if p.By == class.ByFile { // a copy is the take that it was copied from
			at = time.Time{}
		}
		added, err := job.Remember(d, job.Heard{At: at, Player: st.Name, Piece: c.Pieces[k].Piece, PieceFile: c.Pieces[k].File, PieceData: c.Pieces[k].Data, Part: c.Pieces[k].Part, Recording: filepath.Join(c.Folder, p.File),
			Options: c.Options, Instrument: instrument, Hearing: p.Hearing, KeepSound: weeks.Sound}, now)
		played[p.Hearing] = added.At.Truncate(time.Millisecond) // as it is kept
		return err
	})
}
