package classroom

import (
	"strings"

	"endpin/piece/class"
	"endpin/piece/words"
)

// Row says in a few words what became of student i: how it stands, or up to three
// things to work on.
func (c *Class) Row(i int) string {
	s := &c.Sheet.Students[i]
	switch s.Status {
	case class.Missing:
		return words.Say("desk.student.no-recording")
	case class.NotHeard:
		if !s.NotYet {
			return words.Say("desk.student.not-heard", "why", s.Reason)
		}
		for _, t := range s.Takes {
			for _, f := range c.Told.Hearing {
				if t.Recording == f {
					return words.Say("desk.student.hearing")
				}
			}
		}
		if c.Going {
			return words.Say("desk.student.waiting")
		}
		return words.Say("desk.student.not-yet")
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

// Says is how far all has come, or what came of it, in one sentence.
func (c *Class) Says() string {
	if c.Sheet == nil {
		if c.Going {
			return words.Say("desk.class.opening")
		}
		return ""
	}
	missing, unheard := 0, 0
	for i := range c.Sheet.Students {
		switch s := &c.Sheet.Students[i]; {
		case s.Status == class.Missing:
			missing++
		case s.Status == class.NotHeard && !s.NotYet:
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
	return words.Many(key, unheard, "heard", c.Sheet.HeardOf(), "students", len(c.Sheet.Students), "missing", missing).String()
}
