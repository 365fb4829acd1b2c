package desk

import "endpin/ui/desk/tuner"

// What the tuning check shows.
type (
	Tuner      = tuner.Tuner
	TuningLive = tuner.Live
	Board      = tuner.Board
)

// NewTuner makes the check of a desk's strings.
func NewTuner(d *Desk) *Tuner { return tuner.New(host{d}) }
