package class

import (
	"math"

	"endpin/piece/finding"
)

// Begin is a tempo at which to begin working on a finding: three fifths of the
// one asked for, or of the one played where none was, and not above what was
// played; in even numbers, as a metronome has them (common practice, no source).
// It is not below floor, the slowest tempo at which the bows of the place last.
// 0 where no tempo is known.
func Begin(h *finding.Hearing, floor float64) float64 {
	qpm := h.TempoAsked
	if qpm == 0 || h.TempoHeard > 0 && h.TempoHeard < qpm {
		qpm = h.TempoHeard
	}
	if qpm == 0 {
		return 0
	}
	least := max(40, 2*math.Ceil(floor/2))
	return max(min(least, 2*math.Round(qpm/2)), 2*math.Round(qpm*0.6/2))
}
