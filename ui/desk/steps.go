package desk

import (
	"fmt"

	"endpin/piece/finding"
)

// Steps is a bring-up going on: a range from a slow tempo to the piece's own.
// The numbers are common practice, no source.
type Steps struct {
	From, To float64 // quarter notes a minute
	QPM      float64 // now
	Step     float64
	Times    int // clean takes in a row that make a step
	Clean    int // so far at this tempo
	Failed   int // running
}

const (
	stepQPM    = 4
	stepTimes  = 3
	startShare = 0.6 // of the piece's tempo
)

func newSteps(s *Score, w Work) Steps {
	to := s.tempo(w.First, 0)
	from := max(LowestQPM, float64(int(to*startShare+0.5)))
	return Steps{From: from, To: to, QPM: from, Step: stepQPM, Times: stepTimes}
}

// took moves on: a step up when the range was clean as often as chosen, one
// back after two failures running.
func (s *Steps) took(clean bool) {
	if !clean {
		s.Clean = 0
		if s.Failed++; s.Failed == 2 {
			s.Failed, s.QPM = 0, max(s.From, s.QPM-s.Step)
		}
		return
	}
	s.Failed = 0
	if s.Clean++; s.Clean >= s.Times {
		if s.QPM < s.To {
			s.Clean = 0
		}
		s.QPM = min(s.To, s.QPM+s.Step)
	}
}

// Say tells where the bring-up stands.
func (s Steps) Say() string {
	if s.QPM >= s.To && s.Clean >= s.Times {
		return fmt.Sprintf("At the piece's tempo, ♩ = %.0f, clean %d times.", s.To, s.Clean)
	}
	return fmt.Sprintf("♩ = %.0f on the way to %.0f: clean %d of %d.", s.QPM, s.To, min(s.Clean, s.Times), s.Times)
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
