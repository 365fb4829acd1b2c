package notation

import (
	"fmt"
	"strings"
)

// leftKind is a kind of thing that a file holds and Endpin does not play.
type leftKind int

const (
	leftChord leftKind = iota
	leftVoice
	leftStaff
	leftUnpitched
	leftCue
	leftQuarterTone
	leftOrnament
	leftKinds
)

// leftWords hold the sentence for each kind; %s stands for the measures.
var leftWords = [leftKinds]string{
	leftChord:       "Chords in %s are played as their lowest note.",
	leftVoice:       "A second voice in %s is not played.",
	leftStaff:       "A second staff in %s is not played.",
	leftUnpitched:   "Notes without a pitch (percussion) in %s are not played.",
	leftCue:         "Cue notes in %s are not played.",
	leftQuarterTone: "Notes between the semitones in %s are taken as the nearest semitone.",
	leftOrnament:    "Ornaments (trill, turn, tremolo) in %s are taken as plain notes.",
}

// leftOut gathers, by kind, the measures in which something is not played.
type leftOut struct {
	now   string
	index int
	where [leftKinds][]leftMeasure
	notes []string // sentences of another kind
}

type leftMeasure struct {
	number string
	index  int
}

// measure says which measure is being read.
func (l *leftOut) measure(number string) {
	l.now = number
	l.index++
}

func (l *leftOut) add(kinds ...leftKind) {
	for _, kind := range kinds {
		at := l.where[kind]
		if n := len(at); n == 0 || at[n-1].index != l.index {
			l.where[kind] = append(at, leftMeasure{l.now, l.index})
		}
	}
}

func (l *leftOut) sentences() []string {
	said := l.notes
	for kind, at := range l.where {
		if len(at) > 0 {
			said = append(said, fmt.Sprintf(leftWords[kind], measuresInWords(at)))
		}
	}
	return said
}

// measuresInWords writes "measure 3", "measures 3 and 5", "measures 3-6, 9 and 12".
func measuresInWords(at []leftMeasure) string {
	var runs []string
	for i := 0; i < len(at); {
		j := i
		for j+1 < len(at) && at[j+1].index == at[j].index+1 {
			j++
		}
		switch j - i {
		case 0:
			runs = append(runs, at[i].number)
		case 1:
			runs = append(runs, at[i].number, at[j].number)
		default:
			runs = append(runs, at[i].number+"-"+at[j].number)
		}
		i = j + 1
	}
	const most = 8
	if len(runs) > most {
		runs = append(runs[:most-1], fmt.Sprintf("%d more places", len(runs)-most+1))
	}
	if len(runs) == 1 {
		if len(at) > 1 {
			return "measures " + runs[0]
		}
		return "measure " + runs[0]
	}
	last := len(runs) - 1
	return "measures " + strings.Join(runs[:last], ", ") + " and " + runs[last]
}
