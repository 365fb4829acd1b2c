package attempt

import "endpin/piece/finding"

// Round is an echo going round: the desk plays, the player answers, what was
// heard is shown, and so on until somebody stops it.
type Round struct {
	on         bool
	number     int
	unanswered int // rounds running without an answer
}

// mostUnanswered is how many rounds running may go without an answer.
const mostUnanswered = 2

// Begin counts a round and gives what of the findings before it is to be shown while
// the desk plays: those that stand in a measure.
func (r *Round) Begin(before []finding.Finding) (found []finding.Finding) {
	if !r.on {
		*r = Round{on: true}
	}
	if r.number++; r.number == 1 {
		return nil
	}
	for _, f := range before {
		if f.Kind.Row().About != finding.WholeTake {
			found = append(found, f)
		}
	}
	return found
}

// Answered counts the answer to a round, or that none came: then it may be the last.
func (r *Round) Answered(yes bool) {
	if r.unanswered++; yes {
		r.unanswered = 0
	}
	if r.unanswered >= mostUnanswered {
		r.on = false
	}
}

// Stop ends it.
func (r *Round) Stop() { r.on = false }

// On reports whether it goes round.
func (r *Round) On() bool { return r.on }

// Number is which round goes on, 0 for none.
func (r *Round) Number() int {
	if !r.on {
		return 0
	}
	return r.number
}
