package desk

import (
	"slices"

	"endpin/piece/practice"
	"endpin/piece/words"
)

// Chosen is what a pedal would do next.
type Chosen struct{ at int }

// Deed is one thing that can be done between two attempts.
type Deed struct {
	Name string
	Why  string // what it is for; "" for what needs no reason
	do   func(*Desk)
}

// Between are the deeds in the order in which a pedal goes through them. With
// the bass in both hands there are two pedals: one goes on to the next deed, the
// other does it. After every attempt the first stands ready, so that one press
// plays again.
func (d *Desk) Between() []Deed {
	all := append(d.mendingDeeds(), Deed{Name: words.Say("desk.deed.start"), Why: d.startWhy(), do: (*Desk).Start})
	if x, ok := d.checkStrings(); ok {
		all = slices.Insert(all, len(all)-1, x)
	}
	if x, ok := d.workOn(); ok {
		all = append(all, x)
		if n := len(all); d.Shown.Take.Measures == "" && d.Plan.Left() == "" { // after a whole take, what to do with it comes first
			all[n-2], all[n-1] = x, all[n-2]
		}
	}
	name, why, due, plan := d.Plan.Deed()
	goOn, begun := Deed{Name: name, Why: why, do: func(d *Desk) { d.Plan.GoOn() }}, d.Plan.Now.Begun()
	if plan = plan && !d.Mending.On(); plan && due {
		all = slices.Insert(all, 0, goOn)
	} else if plan && begun {
		all = append(all, goOn)
	}
	if d.Listening.May() {
		all = append(all, Deed{Name: words.Say("desk.deed.listen"), do: func(d *Desk) { d.Listening.From(-1) }})
	}
	if d.sitting.Say() != "" && !d.Mending.On() {
		all = append(all, Deed{Name: words.Say("desk.deed.ends"), do: (*Desk).ends})
	}
	all = append(all, []Deed{
		{Name: words.Say("desk.deed.next"), do: func(d *Desk) { d.Move(1) }},
		{Name: words.Say("desk.deed.before"), do: func(d *Desk) { d.Move(-1) }},
		{Name: words.Say("desk.deed.slower"), do: func(d *Desk) { d.SetQPM(d.Work.QPM - practice.Step) }},
		{Name: words.Say("desk.deed.faster"), do: func(d *Desk) { d.SetQPM(d.Work.QPM + practice.Step) }},
		{Name: words.Say("desk.deed.way", "way", d.Work.Way.Next().Name()), do: func(d *Desk) { d.SetWay(d.Work.Way.Next()) }},
		{Name: words.Say("desk.deed.whole"), do: func(d *Desk) { d.SetRange(0, len(d.Score.Piece.Measures)-1) }},
	}...)
	if plan && !due && !begun {
		all = append(all, goOn)
	}
	if t := d.CutOff; t != nil {
		all = slices.Insert(all, 1, Deed{Name: words.Say("desk.deed.cut-off"), do: func(d *Desk) { d.Again(t) }})
	}
	if len(d.Work.Way.Sounds()) > 0 {
		all = append(all, Deed{Name: words.Say("desk.deed.sound." + d.Work.Way.NextSound(d.Settings.Sounds).Named(d.Work.Way)), do: (*Desk).NextSound})
	}
	return all
}

// At is the index of the deed that stands ready.
func (d *Desk) At() int { return min(d.Chosen.at, len(d.Between())-1) }

// Choose goes on to the next deed: the left pedal. While an attempt goes on it
// ends it.
func (d *Desk) Choose() {
	if d.Going() {
		d.Stop()
		return
	}
	d.Chosen.at = (d.At() + 1) % len(d.Between())
	d.tell()
}

// Do does what stands ready: the right pedal. While an attempt goes on it ends it.
func (d *Desk) Do() {
	if d.Going() {
		d.Stop()
		return
	}
	all := d.Between()
	all[d.At()].do(d)
}

// StartStop is the space bar.
func (d *Desk) StartStop() {
	if d.Going() {
		d.Stop()
		return
	}
	d.Start()
}
