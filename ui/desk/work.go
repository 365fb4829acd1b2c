package desk

import (
	"fmt"
	"strings"
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
	var words []string
	for _, w := range Ways {
		if string(w) == strings.ToLower(word) {
			return w, nil
		}
		words = append(words, string(w))
	}
	return "", fmt.Errorf("work %q: write %s or %s", word, strings.Join(words[:len(words)-1], ", "), words[len(words)-1])
}

// Name is what the desk calls it.
func (w Way) Name() string {
	switch w {
	case PlayAlong:
		return "Play along"
	case PlayAlone:
		return "Play alone"
	case Echo:
		return "Echo"
	case BowSilently:
		return "Bow silently"
	case BringUp:
		return "Bring up"
	}
	return string(w)
}

// About says in one sentence what happens.
func (w Way) About() string {
	switch w {
	case PlayAlong:
		return "The desk keeps the beat and a cursor shows where it is; what was heard appears measure by measure."
	case PlayAlone:
		return "No click: start where you like in these measures; the desk follows and stops by itself when you do."
	case Echo:
		return "The desk plays the measures, you answer, what was heard is shown, and it goes round again."
	case BowSilently:
		return "In the air or on damped strings: the click leads, the microphone is off."
	case BringUp:
		return "From a slow tempo to the piece's own, a step when the measures were clean often enough."
	}
	return ""
}

// Hears reports whether the microphone is on.
func (w Way) Hears() bool { return w != BowSilently }

// Leads reports whether the desk keeps the beat, so that there is a count-in.
func (w Way) Leads() bool { return w != PlayAlone }

// Work is what one attempt is to be.
type Work struct {
	Way         Way
	First, Last int     // indexes into Piece.Measures, both included
	QPM         float64 // quarter notes a minute at the first of these measures
	CountIn     int     // measures counted before, where the desk leads
	Silence     float64 // s of silence after which it ends
}

// The tempos that can be asked for, quarter notes a minute.
const (
	LowestQPM  = 15
	HighestQPM = 400
)

// CountIns are the measures that may be counted before.
const (
	LeastCountIn = 0
	MostCountIn  = 2
)

// DefaultSilence is how long a silence ends a take, s.
const DefaultSilence = 4
