// Package bringup takes some measures up to their tempo, a step after so many clean times.
package bringup

import (
	"endpin/piece"
	"endpin/piece/finding"
	"endpin/piece/outline"
	"endpin/piece/practice"
	"endpin/piece/words"
	"endpin/ui/desk/score"
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

// Of begins a bring-up of the measures chosen, in steps of so many quarter notes a minute
// after so many clean times, no slower than the bows of an outline allow; nil for none.
func Of(s *score.Score, w work.Work, o *outline.Outline, step float64, clean int) Steps {
	to := s.Tempo(w.First, 0)
	b := practice.BringUp{From: max(score.LowestQPM, float64(int(to*startShare+0.5))), To: to, Step: step, Clean: clean}
	if o != nil {
		b.Floor, b.FloorWhy = practice.Floor(o, outline.Range{First: w.First, Last: w.Last})
	}
	return Begin(b)
}

// Begin begins a bring-up as it was planned.
func Begin(b practice.BringUp) Steps { return Steps{b, b.Start()} }

// GoOn goes on from a tempo that was asked for, no slower than the bows allow.
func (s *Steps) GoOn(qpm float64) {
	s.State = practice.State{Tempo: max(qpm, s.Floor)}
}

// Choose takes other steps, also on the way.
func (s *Steps) Choose(step float64, clean int) { s.BringUp.Step, s.BringUp.Clean = step, clean }

// Took moves on by one time through.
func (s *Steps) Took(clean bool) { s.State = s.Next(s.State, clean) }

// Heard moves on by one take of a piece, without the findings that were put aside. What
// could not be judged is no time through.
func (s *Steps) Heard(p *piece.Piece, h *finding.Hearing, aside func(*finding.Finding) bool) {
	if !h.Judged(p) {
		s.Said = words.Say("desk.steps.not-judged")
		return
	}
	s.Took(clean(h, aside))
}

// Say tells where the bring-up stands, NotSlower why it goes on no slower; "" where it may.
func (s Steps) Say() string {
	if s.Said != "" {
		return s.Said
	}
	return words.Say("desk.steps.way", "tempo", words.Whole(s.Tempo), "to", words.Whole(s.To))
}

func (s Steps) NotSlower() string {
	if s.FloorWhy == "" || s.Tempo > s.Floor {
		return ""
	}
	return words.Say("desk.steps.floor", "why", s.FloorWhy)
}

// clean reports whether nothing was heard that needs mending.
func clean(h *finding.Hearing, aside func(*finding.Finding) bool) bool {
	for i := range h.Findings {
		f := &h.Findings[i]
		if !aside(f) && f.Kind != finding.Tempo && f.Kind != finding.Tuning {
			return false
		}
	}
	return true
}
