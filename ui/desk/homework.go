package desk

import (
	"endpin/piece/homework"
	"endpin/ui/desk/remembered"
	"endpin/ui/desk/work"
)

// takeUpHomework sets the desk for the homework that lies on it, if any. Its level holds
// for this time only.
func (d *Desk) takeUpHomework() {
	h := d.Score.Homework
	if h == nil {
		return
	}
	if h.Level != "" {
		d.ForNow(func(s *remembered.Settings) { s.Level = h.Level })
	}
	if h.Measures != "" {
		_ = d.TypeRange(h.Measures) // what it does not hold is said
	}
	if h.Work != "" {
		d.SetWay(work.Way(h.Work))
	}
	if h.QPM > 0 {
		d.SetQPM(h.QPM)
		d.Work.Apart = d.Work.QPM // in whatever way
	}
}

// HearHandedIn puts the take that was handed in with the homework on the desk on the page,
// as its player played it, unless another is shown there.
func (d *Desk) HearHandedIn() {
	h := d.Score.Homework
	if h == nil || h.Take == nil || d.Shown != nil || d.Running || d.Judging {
		return
	}
	t := d.recordingAt(d.Score.File)
	t.Player, t.Made, t.Measures = h.Take.Player, h.Take.Played, h.Take.Measures
	o := d.optionsOf(t)
	o.QPM = h.Take.QPM
	d.judgeBy(t, nil, o)
}

// AsHomework is what the desk is set to, as homework.
func (d *Desk) AsHomework() homework.Homework {
	h := homework.Homework{Title: d.Score.Title(), Part: d.Score.Part, Work: string(d.Work.Way), QPM: d.Work.QPM, Level: d.Settings.Level, Made: d.means.Now()}
	if !d.Score.Whole(d.Work.First, d.Work.Last) {
		h.Measures = d.Range()
	}
	return h
}
