package notation

import "endpin/piece/words"

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

// leftKeys are the messages for each kind.
var leftKeys = [leftKinds]string{
	leftChord:       "notation.left.chord",
	leftVoice:       "notation.left.voice",
	leftStaff:       "notation.left.staff",
	leftUnpitched:   "notation.left.unpitched",
	leftCue:         "notation.left.cue",
	leftQuarterTone: "notation.left.quarter-tone",
	leftOrnament:    "notation.left.ornament",
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
			said = append(said, words.Many(leftKeys[kind], len(at), "measures", runsOf(at)).String())
		}
	}
	return said
}

// runsOf writes the numbers of measures: "3", "3 and 5", "3-6, 9 and 12".
func runsOf(at []leftMeasure) words.List {
	var runs words.List
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
		runs = append(runs[:most-1], words.Say("notation.more-places", "n", len(runs)-most+1))
	}
	return runs
}
