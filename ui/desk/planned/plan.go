package planned

import (
	"time"

	"endpin/piece/finding"
	"endpin/piece/outline"
	"endpin/piece/practice"
	"endpin/piece/words"
)

// Host is the desk on which a plan is gone through. Its methods are called on its goroutine.
type Host interface {
	Changed() // what is seen is another
	Now() time.Time
	Playing() bool // an attempt goes on
	Hearing() bool // a take is being heard
	Outline() (*outline.Outline, error)
	Drilling() bool           // the piece is a drill
	Agreed() *finding.Hearing // of the take shown, without what was put aside; nil for none
	Work(practice.Item)       // sets measures, way and tempo, and stands the start ready
	Rest()
	Ended() // the plan was gone through
}

// Plan is what the sitting is to be. It belongs to the desk's goroutine.
type Plan struct {
	Now *Planned // nil where nobody asked yet

	host Host
}

// New is one that nobody asked for yet.
func New(h Host) *Plan { return &Plan{host: h} }

// Make plans what to do in so many minutes (10, 20 or 30), as endpin outline does: from the
// page alone, or from what was heard in the take shown. What was put aside in it asks for no
// work.
func (x *Plan) Make(minutes int) (practice.Plan, error) {
	o, err := x.host.Outline()
	if err != nil {
		return practice.Plan{}, err
	}
	var heard []*finding.Hearing
	if h := x.host.Agreed(); h != nil {
		heard = append(heard, h)
	}
	return practice.For(o, practice.Options{Minutes: minutes, Hearings: heard, Drill: x.host.Drilling()}), nil
}

// usual is how long a sitting is where nobody chose, minutes.
const usual = 20

// For is the plan of so many minutes, 0 for those of before. Once it was begun it stays as it
// is, whatever is heard meanwhile.
func (x *Plan) For(minutes int) (*Planned, error) {
	if minutes == 0 {
		if minutes = usual; x.Now != nil {
			minutes = x.Now.Minutes
		}
	}
	if x.Now.Begun() && x.Now.Minutes == minutes {
		return x.Now, nil
	}
	p, err := x.Make(minutes)
	if err != nil {
		return nil, err
	}
	x.Now = of(p, x.Now)
	return x.Now, nil
}

// Anew plans the sitting anew, by what was heard since.
func (x *Plan) Anew() {
	if x.Now == nil {
		return
	}
	if p, err := x.Make(x.Now.Minutes); err == nil {
		x.Now = of(p, x.Now)
	}
	x.host.Changed()
}

// TakeUp takes up one item.
func (x *Plan) TakeUp(i int) {
	p := x.Now
	if p == nil || i < 0 || i >= len(p.Items) || x.host.Playing() || x.host.Hearing() {
		return
	}
	p.take(i, x.host.Now())
	if p.Items[i].Work == practice.Rest {
		x.host.Rest()
		return
	}
	x.host.Work(p.Items[i])
}

// Tick says whether an item is done.
func (x *Plan) Tick(i int, done bool) {
	if x.Now != nil {
		x.Now.tick(i, done)
		x.host.Changed()
	}
}

// GoOn ticks off what was taken up, and takes up what comes next.
func (x *Plan) GoOn() {
	p, err := x.For(0)
	if err != nil {
		return
	}
	next := p.Next()
	if p.At >= 0 {
		p.tick(p.At, true)
	}
	if next >= 0 {
		x.TakeUp(next)
		return
	}
	x.host.Ended()
}

// Deed names what GoOn would do, and tells what that is; due is true where the time of what
// was taken up is over, ok false where there is nothing to go on to.
func (x *Plan) Deed() (name, why string, due, ok bool) {
	p := x.Now
	if p == nil || p.At < 0 {
		if p != nil && p.Next() < 0 {
			return "", "", false, false
		}
		if p.Begun() {
			return words.Say("desk.deed.plan.next"), p.Tell(p.Next()), false, true
		}
		return words.Say("desk.deed.plan"), "", false, true
	}
	due = p.Left(x.host.Now()) == 0 || p.Items[p.At].Work == practice.Rest
	if next := p.Next(); next >= 0 {
		return words.Say("desk.deed.plan.next"), p.Tell(next), due, true
	}
	return words.Say("desk.deed.plan.end"), "", due, true
}

// Left says how much time is left for what was taken up; "" where nothing was.
func (x *Plan) Left() string {
	p := x.Now
	if p == nil || p.At < 0 {
		return ""
	}
	if n := p.Left(x.host.Now()); n > 0 {
		return words.Many("desk.plan.left", n).String()
	}
	return words.Say("desk.plan.over")
}
