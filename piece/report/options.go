package report

import (
	"endpin/piece/finding"
	"endpin/piece/report/paper"
)

// Options are what a report may be told beside the hearing itself. The zero
// value serves.
type Options struct {
	Player string // whose playing it is; empty leaves the line out
	Date   string // when the take was made, as it is to be printed; empty leaves it out

	// NoteCents is how far a note may be off before it is told, in cents: half
	// the height of the band drawn around each note expected. 0 takes it from
	// the hearing's level.
	NoteCents float64

	// Strings are the instrument's string names from the highest; nil is the
	// double bass's.
	Strings []string
}

func (o Options) stringName(number int) string {
	names := o.Strings
	if names == nil {
		names = paper.BassStrings
	}
	return paper.StringName(names, number)
}

// tolerance is how far a note may be off before it is told, cents.
func (o Options) tolerance(h *finding.Hearing) float64 {
	if o.NoteCents > 0 {
		return o.NoteCents
	}
	level, err := finding.LevelByName(h.Level)
	if err != nil {
		level = finding.Intermediate
	}
	return level.Note
}
