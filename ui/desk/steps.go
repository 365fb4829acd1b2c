package desk

import (
	"fmt"

	"endpin/piece/finding"
	"endpin/piece/outline"
	"endpin/piece/practice"
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
	to := d.Score.tempo(d.Work.First, 0)
	b := practice.BringUp{From: max(LowestQPM, float64(int(to*startShare+0.5))), To: to, Step: practice.Step}
	if o, err := d.outline(); err == nil {
		b.Floor, b.FloorWhy = practice.Floor(o, outline.Range{First: d.Work.First, Last: d.Work.Last})
	}
	return begun(b)
}

func begun(b practice.BringUp) Steps { return Steps{b, b.Start()} }

// took moves on by one take.
func (s *Steps) took(clean bool) { s.State = s.Next(s.State, clean) }

// Say tells where the bring-up stands.
func (s Steps) Say() string {
	switch {
	case s.Said != "":
		return s.Said
	case s.Tempo > s.From && s.FloorWhy != "":
		return fmt.Sprintf("♩ = %.0f on the way to %.0f. Not slower: %s", s.Tempo, s.To, s.FloorWhy)
	}
	return fmt.Sprintf("♩ = %.0f on the way to %.0f.", s.Tempo, s.To)
}

// clean reports whether nothing was heard that needs mending.
func clean(h *finding.Hearing, t *Take) bool {
	for i := range h.Findings {
		f := &h.Findings[i]
		if _, set := t.dismissed(f); !set && f.Kind != finding.Tempo && f.Kind != finding.Tuning {
			return false
		}
	}
	return true
}
