// Package work is what one attempt is to be: the measures, the way to work on them,
// the tempo, and what sounds meanwhile.
package work

import (
	"slices"
	"strings"

	"endpin/piece/words"
)

// Way is a way to work on some measures.
type Way string

// The ways. Their words are the command line's.
const (
	PlayAlong   Way = "play-along"
	PlayAlone   Way = "play-alone"
	Echo        Way = "echo"
	BowSilently Way = "bow-silently"
	BringUp     Way = "bring-up"
)

// Ways are all of them, in the order in which they stand on the desk.
var Ways = []Way{PlayAlong, PlayAlone, Echo, BowSilently, BringUp}

// WayByName finds a way by its word.
func WayByName(word string) (Way, error) {
	if w := Way(strings.ToLower(word)); slices.Contains(Ways, w) {
		return w, nil
	}
	return "", words.Fault("desk.way.unknown", "typed", words.Quoted(word))
}

// Name is what the desk calls it.
func (w Way) Name() string {
	if !slices.Contains(Ways, w) {
		return string(w)
	}
	return words.Say("desk.way." + string(w))
}

// About says in one sentence what happens.
func (w Way) About() string {
	if !slices.Contains(Ways, w) {
		return ""
	}
	return words.Say("desk.way." + string(w) + ".about")
}

// Next is the way after it, and the first after the last.
func (w Way) Next() Way { return Ways[(slices.Index(Ways, w)+1)%len(Ways)] }

// Hears reports whether the microphone is on.
func (w Way) Hears() bool { return w != BowSilently }

// Leads reports whether the desk keeps the beat, so that there is a count-in.
func (w Way) Leads() bool { return w != PlayAlone }

// Work is what one attempt is to be.
type Work struct {
	Way         Way
	First, Last int     // indexes into Piece.Measures, both included
	QPM         float64 // quarter notes a minute at the first of these measures
	Apart       float64 // while a tempo is brought up that of the other ways, 0 for the piece's own
	CountIn     int     // measures counted before, where the desk leads
	Silence     float64 // s of silence after which it ends
}

// The measures that may be counted before.
const (
	LeastCountIn = 0
	MostCountIn  = 2
)

// DefaultSilence is how long a silence ends a take, s.
const DefaultSilence = 4

// Said tells it in a few words, of measures as they are printed, which may be all of them.
func (w Work) Said(measures string, whole bool) string {
	qpm, where := words.Whole(w.QPM), words.Of("desk.deed.measures", "range", strings.ReplaceAll(measures, "-", "–"))
	if w.First == w.Last {
		where = words.Of("desk.deed.measure", "n", measures)
	}
	switch {
	case whole:
		return words.Say("desk.deed.start.whole", "way", w.Way.Name(), "qpm", qpm)
	case w.Way == PlayAlone:
		return words.Say("desk.deed.start.alone", "range", where)
	}
	return words.Say("desk.deed.start.range", "way", w.Way.Name(), "range", where, "qpm", qpm)
}
