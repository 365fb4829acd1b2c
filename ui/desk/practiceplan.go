package desk

import (
	"endpin/piece/finding"
	"endpin/piece/practice"
	"endpin/piece/words"
	"endpin/ui/desk/bringup"
	"endpin/ui/desk/work"
)

// ways are the desk's ways for the works of a plan. Two sections are joined by
// playing them along with the click.
var ways = map[practice.Work]work.Way{
	practice.BowSilently: work.BowSilently, practice.Echo: work.Echo, practice.WorkUp: work.BringUp,
	practice.PlayAlone: work.PlayAlone, practice.PlayAlong: work.PlayAlong, practice.Join: work.PlayAlong,
}

// Agreed, Work, Rest and Ended are the plan's.
func (h host) Agreed() *finding.Hearing {
	if h.desk.Shown == nil {
		return nil
	}
	return h.desk.Shown.Agreed()
}

func (h host) Work(it practice.Item) {
	d := h.desk
	d.anew()
	d.Work.Way = ways[it.Work]
	d.Work.First, d.Work.Last = it.Range.First, it.Range.Last
	d.Work.QPM = it.TempoFrom
	if d.Work.Way == work.BringUp {
		d.Steps = d.newSteps()
		d.Steps = bringup.Begin(practice.BringUp{From: it.TempoFrom, To: it.TempoTo, Step: it.Step, Clean: d.Settings.CleanTimes, Floor: d.Steps.Floor, FloorWhy: d.Steps.FloorWhy})
		d.Work.QPM = d.Steps.Tempo
	}
	d.tell()
}

func (h host) Rest() { h.desk.anew(); h.desk.rest() }

func (h host) Ended() {
	h.desk.anew()
	h.desk.Result = &Result{Says: words.Say("desk.plan.done"), Beside: h.desk.sitting.Say()}
	h.desk.tell()
}

// anew leaves what was worked on before something else is.
func (d *Desk) anew() {
	d.Listening.Close()
	d.LookAway()
	d.leaveMending()
	d.Chosen.at, d.Result = 0, nil
}
