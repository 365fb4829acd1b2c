package desk

import (
	"fmt"
	"strings"

	"endpin/piece/class"
)

// Row says in a few words what became of student i: how it stands, or up to three
// things to work on.
func (c *Class) Row(i int) string {
	s := &c.Sheet.Students[i]
	switch s.Status {
	case class.Missing:
		return "No recording."
	case class.NotHeard:
		if !s.NotYet {
			return "Not heard: " + strings.TrimSuffix(s.Reason, ".") + "."
		}
		for _, t := range s.Takes {
			for _, f := range c.Told.Hearing {
				if t.Recording == f {
					return "is being heard …"
				}
			}
		}
		if c.Going {
			return "waiting"
		}
		return "Not heard yet."
	}
	var words []string
	for _, k := range s.WorthFixing {
		words = append(words, class.InWords(&s.Findings[k]))
	}
	if len(words) == 0 {
		words = []string{"Nothing stood out."}
	}
	said := strings.Join(words, "  ·  ")
	if s.Reason != "" { // what leaves doubt, and the mend
		said += "\n" + s.Reason
	}
	return said
}

// Says is how far all has come, or what came of it, in one sentence.
func (c *Class) Says() string {
	if c.Sheet == nil {
		if c.Going {
			return "Opening the recordings …"
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
	said := fmt.Sprintf("%d of %d students heard", c.Sheet.HeardOf(), len(c.Sheet.Students))
	if unheard > 0 {
		said += fmt.Sprintf(", in %d recordings the piece was not", unheard)
	}
	if unheard == 1 {
		said = strings.Replace(said, "in 1 recordings", "in one recording", 1)
	}
	if missing > 0 {
		said += fmt.Sprintf(", %d without a recording", missing)
	}
	return said + "."
}
