package classroom

import (
	"slices"
	"strings"

	"endpin/piece/class"
	"endpin/piece/words"
)

// Row says in a few words what became of student i, in each piece: how it stands, or up to
// three things to work on.
func (c *Class) Row(i int) string {
	if len(c.Heard.Sheets) == 1 {
		return c.stands(&c.Heard.Sheets[0].Students[i])
	}
	var all []string
	for _, k := range c.Pieces(i) {
		s := c.Heard.Sheets[k]
		all = append(all, words.Say("desk.student.piece", "piece", s.Piece, "said", c.stands(&s.Students[i])))
	}
	var waiting []string
	for _, u := range c.unplaced(i) {
		if u.NotYet {
			waiting = append(waiting, u.Recording)
		} else {
			all = append(all, words.Say("desk.student.unplaced", "recording", u.Recording, "why", u.Reason))
		}
	}
	if len(waiting) > 0 {
		all = append(all, c.waits(waiting...))
	}
	if len(all) == 0 {
		return words.Say("desk.student.no-recording")
	}
	return strings.Join(all, "\n")
}

// unplaced are the recordings of student i that belong to none of the pieces, so far.
func (c *Class) unplaced(i int) (all []class.Unplaced) {
	for _, u := range c.Heard.Unplaced {
		if u.Student == c.Students()[i].Name {
			all = append(all, u)
		}
	}
	return all
}

// stands says how it stands with a student's piece.
func (c *Class) stands(s *class.Student) string {
	switch s.Status {
	case class.Missing:
		return words.Say("desk.student.no-recording")
	case class.NotHeard:
		if !s.NotYet {
			return words.Say("desk.student.not-heard", "why", s.Reason)
		}
		var files []string
		for _, t := range s.Takes {
			files = append(files, t.Recording)
		}
		return c.waits(files...)
	}
	var worth []string
	for _, k := range s.WorthFixing {
		worth = append(worth, class.InWords(&s.Findings[k]))
	}
	if len(worth) == 0 {
		worth = []string{words.Say("desk.student.nothing")}
	}
	said := strings.Join(worth, "  ·  ")
	if s.Reason != "" { // what leaves doubt, and the mend
		said += "\n" + s.Reason
	}
	return said
}

// waits says of recordings that were not heard yet whether one is being heard.
func (c *Class) waits(files ...string) string {
	switch {
	case slices.ContainsFunc(files, func(f string) bool { return slices.Contains(c.Told.Hearing, f) }):
		return words.Say("desk.student.hearing")
	case c.Going:
		return words.Say("desk.student.waiting")
	}
	return words.Say("desk.student.not-yet")
}

// Says is how far all has come, or what came of it, in one sentence.
func (c *Class) Says() string {
	if c.Heard == nil {
		if c.Going {
			return words.Say("desk.class.opening")
		}
		return ""
	}
	heard, missing, unheard := 0, 0, 0
	for i := range c.Students() {
		none, yes, no := true, false, false
		for _, s := range c.Heard.Sheets {
			st := &s.Students[i]
			none = none && st.Status == class.Missing
			yes = yes || st.Status == class.Heard
			no = no || st.Status == class.NotHeard && !st.NotYet
		}
		for _, u := range c.unplaced(i) {
			none, no = false, no || !u.NotYet
		}
		switch {
		case yes:
			heard++
		case none:
			missing++
		case no:
			unheard++
		}
	}
	key := "desk.class.heard"
	if unheard > 0 {
		key += ".unheard"
	}
	if missing > 0 {
		key += ".missing"
	}
	return words.Many(key, unheard, "heard", heard, "students", len(c.Students()), "missing", missing).String()
}
