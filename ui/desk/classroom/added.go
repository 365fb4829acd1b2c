package classroom

import (
	"slices"

	"endpin/piece/class"
	"endpin/piece/words"
	"endpin/ui/desk/errand"
	"endpin/ui/desk/said"
)

// CanAdd reports whether the teacher may add to the pages now.
func (c *Class) CanAdd() bool { return c.host.AddToClass() != nil && !c.Going && c.Written != "" }

// Strike strikes finding i of the student looked at, or puts it back.
func (c *Class) Strike(i int) {
	s := c.Student()
	if s == nil || !c.CanAdd() {
		return
	}
	strike, struck := class.StrikeOf(c.Sheet().Piece, &s.Findings[i]), !slices.Contains(s.Struck, i)
	c.change(s.Name, func(r *class.Remarks, g *class.Page) { r.For(g.Name).Strike(strike, struck) })
}

// Say writes the teacher's line on the page of the student looked at.
func (c *Class) Say(line string) {
	if s := c.Student(); s != nil && c.CanAdd() && line != s.Line {
		c.change(s.Name, func(r *class.Remarks, g *class.Page) { r.For(g.Name).Say(g.At(), line) })
	}
}

// See marks the page of the student looked at as seen: then it may go home.
func (c *Class) See(seen bool) {
	if s := c.Student(); s != nil && c.CanAdd() && seen != s.Seen {
		c.change(s.Name, func(r *class.Remarks, g *class.Page) {
			own := r.For(g.Name)
			if own.Seen = ""; seen {
				own.Seen = g.Ident()
			}
		})
	}
}

// SayToAll writes the teacher's remark at the head of each page.
func (c *Class) SayToAll(remark string) {
	if c.Sheet() != nil && c.CanAdd() && remark != c.Sheet().Remark {
		c.change("", func(r *class.Remarks, _ *class.Page) { r.Class = remark })
	}
}

// change writes the pages anew in the background.
func (c *Class) change(student string, change func(*class.Remarks, *class.Page)) {
	add := c.host.AddToClass()
	c.adding++
	c.Message = words.Say("desk.class.adding")
	c.host.Changed()
	errand.Send(c.host.Post, func(e *errand.Errand) func() {
		heard, written, err := add(e, student, change)
		return func() {
			if c.adding--; c.adding == 0 && !c.Going {
				c.Message = ""
			}
			switch {
			case err != nil:
				c.Message = said.Sentence(err)
			case c.Going || len(heard.Sheets) != len(c.Heard.Sheets) || len(heard.Sheets[0].Students) != len(c.Students()): // another class by now
				return
			default:
				c.Heard, c.Written = heard, written
			}
			c.host.Changed()
		}
	})
}
