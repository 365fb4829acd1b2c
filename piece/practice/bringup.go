package practice

import (
	"math"

	"endpin/piece/outline"
	"endpin/piece/words"
)

// Step is how much faster each step is, in quarter notes a minute, and Clean
// how many clean times it takes, unless set. Common practice, no source.
const (
	Step  = 4
	Clean = 3
)

// BringUp is how a measure range is worked from a slow tempo up to the piece's.
// Tempos are quarter notes a minute.
type BringUp struct {
	From, To float64
	Step     float64      // 0 for Step
	Clean    int          // clean times in a row that take a step; 0 for Clean
	Floor    float64      // never slower than this; 0 for none
	FloorWhy string       // one sentence
	Beat     outline.Felt // the beat that tempos are told in; zero for quarter notes
}

// State is where the player stands on the way.
type State struct {
	Tempo  float64
	Clean  int  // clean times in a row at this tempo
	Failed int  // times in a row that were not
	Done   bool // clean at the piece's tempo
	Said   string
}

// Start is the first state.
func (b BringUp) Start() State {
	return State{Tempo: math.Min(math.Max(b.From, b.Floor), math.Max(b.To, b.Floor))}
}

// Next is the state after one more time through the range, and in one sentence
// why. A step is taken after Clean clean times in a row; two in a row that were
// not go back a step, but never below the floor.
func (b BringUp) Next(s State, clean bool) State {
	step, enough := b.Step, b.Clean
	if step <= 0 {
		step = Step
	}
	if enough <= 0 {
		enough = Clean
	}
	if s.Done {
		s.Said = words.Say("practice.step.there", "tempo", b.Beat.Tempo(s.Tempo))
		return s
	}
	if clean {
		s.Clean, s.Failed = s.Clean+1, 0
		switch {
		case s.Clean < enough:
			s.Said = b.more(enough-s.Clean, s.Tempo)
		case s.Tempo >= b.To:
			s.Done = true
			s.Said = words.Say("practice.step.reached", "times", words.Times(enough), "tempo", b.Beat.Tempo(s.Tempo))
		default:
			s.Tempo, s.Clean = math.Min(b.To, s.Tempo+step), 0
			s.Said = words.Say("practice.step.on", "times", words.Times(enough), "tempo", b.Beat.Tempo(s.Tempo))
		}
		return s
	}
	s.Clean, s.Failed = 0, s.Failed+1
	if s.Failed < 2 {
		s.Said = words.Say("practice.step.again", "tempo", b.Beat.Tempo(s.Tempo))
		return s
	}
	s.Failed = 0
	slower := math.Max(s.Tempo-step, b.Floor)
	switch {
	case slower >= s.Tempo && b.FloorWhy != "":
		s.Said = words.Say("practice.step.stay", "tempo", b.Beat.Tempo(s.Tempo), "why", b.FloorWhy)
	case slower < step:
		s.Said = words.Say("practice.step.fewer", "tempo", b.Beat.Tempo(s.Tempo))
	default:
		s.Tempo = math.Max(slower, step)
		s.Said = words.Say("practice.step.back", "tempo", b.Beat.Tempo(s.Tempo))
	}
	return s
}

// more says how often it must still be clean.
func (b BringUp) more(n int, qpm float64) string {
	if n == 2 {
		return words.Say("practice.step.clean.twice", "tempo", b.Beat.Tempo(qpm))
	}
	return words.Many("practice.step.clean", n, "tempo", b.Beat.Tempo(qpm)).String()
}

// Tempos are the tempos of the way, the first and the last included.
func (b BringUp) Tempos() []float64 {
	step := b.Step
	if step <= 0 {
		step = Step
	}
	tempos := []float64{b.Start().Tempo}
	for last := tempos[0]; last < b.To && len(tempos) < 200; {
		last = math.Min(b.To, last+step)
		tempos = append(tempos, last)
	}
	return tempos
}
