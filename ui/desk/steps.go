package desk

import (
	"endpin/ui/desk/bringup"
	"endpin/ui/desk/work"
)

// newSteps begins a bring-up of the range chosen.
func (d *Desk) newSteps() bringup.Steps {
	o, err := host{d}.Outline()
	if err != nil {
		o = nil
	}
	return bringup.Of(d.Score, d.Work, o, d.Settings.Step, d.Settings.CleanTimes)
}

// stepsAnew begins the bring-up anew, since other measures have another tempo to
// reach and other bows.
func (d *Desk) stepsAnew() {
	if d.Work.Way == work.BringUp {
		d.Steps = d.newSteps()
		d.Work.QPM = d.Steps.Tempo
	}
}

// stepTo goes on with a bring-up from a tempo that was asked for.
func (d *Desk) stepTo(qpm float64) {
	if d.Work.Way == work.BringUp {
		d.Steps.GoOn(qpm)
		d.Work.QPM = d.Steps.Tempo
	}
}
