package sitting

import (
	"time"

	"endpin/piece/words"
)

// Works tells it that something is played at a time.
func (s *Sitting) Works(now time.Time) {
	if s.working.IsZero() {
		s.working = now
	}
}

// Tired reports whether the work since the last rest has lasted so long.
func (s *Sitting) Tired(now time.Time, most time.Duration) bool {
	return !s.working.IsZero() && now.Sub(s.working) >= most
}

// Rest is a rest: the next work begins anew.
func (s *Sitting) Rest() { s.working = time.Time{} }

// Mended tells it what holds now.
func (s *Sitting) Mended(what words.Sentence) { s.mended = append(s.mended, what) }

// Say says in one sentence what was mended; "" for nothing.
func (s *Sitting) Say() string {
	if len(s.mended) == 0 {
		return ""
	}
	return words.Many("desk.sitting.mended", len(s.mended), "what", words.Row(s.mended...)).String()
}
