package desk

import (
	"endpin/piece/finding"
	"endpin/ui/desk/shelf"
)

// round is an echo going round: the desk plays, the player answers, what was
// heard is shown, and so on until somebody stops it.
type round struct {
	on         bool
	number     int
	unanswered int // rounds running without an answer
}

// mostUnanswered is how many rounds running may go without an answer.
const mostUnanswered = 2

// begin counts a round and gives what was found in the one before, to be shown
// while the desk plays.
func (r *round) begin(before *shelf.Shown) []finding.Finding {
	if !r.on {
		*r = round{on: true}
	}
	r.number++
	if r.number == 1 || before == nil {
		return nil
	}
	var found []finding.Finding
	for i := range before.Hearing.Findings {
		if f := &before.Hearing.Findings[i]; f.Kind.Row().About != finding.WholeTake {
			found = append(found, *f)
		}
	}
	return found
}

// again begins the next round.
func (d *Desk) again() {
	if d.round.on {
		d.Start()
	}
}

// Round is which round of an echo goes on, 0 for none.
func (d *Desk) Round() int {
	if !d.round.on {
		return 0
	}
	return d.round.number
}

// Going reports whether an attempt goes on, or an echo between two rounds.
func (d *Desk) Going() bool { return d.Running || d.round.on }
