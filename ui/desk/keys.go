package desk

import (
	"slices"

	"endpin/piece/practice"
	"endpin/piece/words"
	"endpin/ui/desk/work"
)

// Chosen is what a pedal would do next.
type Chosen struct{ at int }

// Deed is one thing that can be done between two attempts.
type Deed struct {
	Name string
	do   func(*Desk)
}

// Between are the deeds in the order in which a pedal goes through them. With
// the bass in both hands there are two pedals: one goes on to the next deed, the
// other does it. After every attempt the first stands ready, so that one press
// plays again.
func (d *Desk) Between() []Deed {
	all := []Deed{
		{words.Say("desk.deed.start"), (*Desk).Start},
		{words.Say("desk.deed.next"), func(d *Desk) { d.Move(1) }},
		{words.Say("desk.deed.before"), func(d *Desk) { d.Move(-1) }},
		{words.Say("desk.deed.slower"), func(d *Desk) { d.SetQPM(d.Work.QPM - practice.Step) }},
		{words.Say("desk.deed.faster"), func(d *Desk) { d.SetQPM(d.Work.QPM + practice.Step) }},
		{words.Say("desk.deed.way", "way", d.nextWay().Name()), func(d *Desk) { d.SetWay(d.nextWay()) }},
		{words.Say("desk.deed.whole"), func(d *Desk) { d.SetRange(0, len(d.Score.Piece.Measures)-1) }},
	}
	if t := d.CutOff; t != nil {
		all = slices.Insert(all, 1, Deed{words.Say("desk.deed.cut-off"), func(d *Desk) { d.Again(t) }})
	}
	if len(d.Work.Way.Sounds()) > 0 {
		all = append(all, Deed{words.Say("desk.deed.sound." + d.nextSound().Named(d.Work.Way)), (*Desk).NextSound})
	}
	return all
}

func (d *Desk) nextWay() work.Way {
	for i, w := range work.Ways {
		if w == d.Work.Way {
			return work.Ways[(i+1)%len(work.Ways)]
		}
	}
	return work.Ways[0]
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
