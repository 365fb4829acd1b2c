package desk

import (
	"endpin/piece/finding"
	"endpin/piece/practice"
	"endpin/ui/desk/bringup"
	"endpin/ui/desk/work"
)

// PracticePlan plans what to do in so many minutes (10, 20 or 30), as endpin outline
// does: from the page alone, or from what was heard in the take shown. What was put
// aside in it asks for no work.
func (d *Desk) PracticePlan(minutes int) (practice.Plan, error) {
	o, err := host{d}.Outline()
	if err != nil {
		return practice.Plan{}, err
	}
	var heard []*finding.Hearing
	if d.Shown != nil {
		heard = append(heard, d.Shown.Agreed())
	}
	return practice.For(o, practice.Options{Minutes: minutes, Hearings: heard}), nil
}

// ways are the desk's ways for the works of a plan. Two sections are joined by
// playing them along with the click.
var ways = map[practice.Work]work.Way{
	practice.BowSilently: work.BowSilently, practice.Echo: work.Echo, practice.WorkUp: work.BringUp,
	practice.PlayAlone: work.PlayAlone, practice.PlayAlong: work.PlayAlong, practice.Join: work.PlayAlong,
}

// TakeUp sets the measures, the way and the tempo of one item of a plan. A rest
// changes nothing.
func (d *Desk) TakeUp(it practice.Item) {
	way, is := ways[it.Work]
	if !is || d.Running {
		return
	}
	d.Mending = nil
	d.Work.Way = way
	d.Work.First, d.Work.Last = it.Range.First, it.Range.Last
	d.Work.QPM = it.TempoFrom
	if way == work.BringUp {
		d.Steps = d.newSteps()
		d.Steps = bringup.Begin(practice.BringUp{From: it.TempoFrom, To: it.TempoTo, Step: it.Step, Clean: d.Settings.CleanTimes, Floor: d.Steps.Floor, FloorWhy: d.Steps.FloorWhy})
		d.Work.QPM = d.Steps.Tempo
	}
	d.tell()
}
