package desk

import (
	"endpin/piece/finding"
	"endpin/piece/outline"
	"endpin/piece/practice"
	"endpin/piece/words"
	"endpin/ui/desk/score"
	"endpin/ui/desk/shelf"
	"endpin/ui/desk/work"
)

// Steps is a bring-up going on: the way, and where the player stands on it.
type Steps struct {
	practice.BringUp
	practice.State
}

// startShare is the part of the piece's tempo at which a bring-up begins.
// Common practice, no source.
const startShare = 0.6

// newSteps begins a bring-up of the range chosen, no slower than its bows allow.
func (d *Desk) newSteps() Steps {
	to := d.Score.Tempo(d.Work.First, 0)
	b := practice.BringUp{From: max(score.LowestQPM, float64(int(to*startShare+0.5))), To: to,
		Step: d.Settings.Step, Clean: d.Settings.CleanTimes}
	if o, err := d.outline(); err == nil {
		b.Floor, b.FloorWhy = practice.Floor(o, outline.Range{First: d.Work.First, Last: d.Work.Last})
	}
	return begun(b)
}

// stepsAnew begins the bring-up anew, since other measures have another tempo to
// reach and other bows.
func (d *Desk) stepsAnew() {
	if d.Work.Way == work.BringUp {
		d.Steps = d.newSteps()
		d.Work.QPM = d.Steps.Tempo
	}
}

// stepTo goes on with a bring-up from a tempo that was asked for, no slower than
// its bows allow.
func (d *Desk) stepTo(qpm float64) {
	if d.Work.Way != work.BringUp {
		return
	}
	s := &d.Steps
	s.State = practice.State{Tempo: max(qpm, s.Floor)}
	d.Work.QPM = s.Tempo
	if qpm < s.Floor && s.FloorWhy != "" {
		s.Said = words.Say("desk.steps.floor", "why", s.FloorWhy)
	}
}

func begun(b practice.BringUp) Steps { return Steps{b, b.Start()} }

// choose takes what the settings say of steps, also on the way.
func (s *Steps) choose(x Settings) { s.BringUp.Clean, s.BringUp.Step = x.CleanTimes, x.Step }

// took moves on by one time through.
func (s *Steps) took(clean bool) { s.State = s.Next(s.State, clean) }

// heard moves on by one take. What could not be judged is no time through.
func (s *Steps) heard(h *finding.Hearing, t *shelf.Take) {
	if doubted(h) {
		s.Said = words.Say("desk.steps.not-judged")
		return
	}
	s.took(clean(h, t))
}

// doubted reports whether the whole take is not sure.
func doubted(h *finding.Hearing) bool {
	for i := range h.Findings {
		if h.Findings[i].Kind == finding.NotSure {
			return true
		}
	}
	return false
}

// Say tells where the bring-up stands.
func (s Steps) Say() string {
	switch {
	case s.Said != "":
		return s.Said
	case s.Tempo > s.From && s.FloorWhy != "":
		return words.Say("desk.steps.way.floor", "tempo", words.Whole(s.Tempo), "to", words.Whole(s.To), "why", s.FloorWhy)
	}
	return words.Say("desk.steps.way", "tempo", words.Whole(s.Tempo), "to", words.Whole(s.To))
}

// clean reports whether nothing was heard that needs mending.
func clean(h *finding.Hearing, t *shelf.Take) bool {
	for i := range h.Findings {
		f := &h.Findings[i]
		if _, set := t.Reason(f); !set && f.Kind != finding.Tempo && f.Kind != finding.Tuning {
			return false
		}
	}
	return true
}
