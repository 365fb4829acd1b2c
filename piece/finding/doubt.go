package finding

import (
	"endpin/dsp"
	"endpin/dsp/robust"
)

// What makes a recording hard to hear. Set by ear, no source.
const (
	clippedMost = 0.02  // of the sounding time
	loudRoom    = 12.0  // dB above the level of the room that the notes must stand
	tooSoft     = -55.0 // dB of the notes: below it little but hiss is left
)

// tellApart is how many changes of pitch or of length there must be among the notes
// heard for them to be this piece and no other: whoever sounds one pitch evenly plays
// every piece of one pitch. Of 150 pieces of one to sixteen notes of one pitch or two,
// heard against tones of one pitch and a take of another piece, none with more was
// taken to be heard.
const tellApart = 3

// alike reports whether what was heard is too short, or too much alike, to be told from
// another piece.
func (t *take) alike() bool {
	changes, last := 0, -1
	for i := range t.line {
		if m := t.match(i); m.Heard < 0 || m.Guessed {
			continue
		}
		if last >= 0 {
			if t.line[i].MIDI != t.line[last].MIDI {
				changes++
			}
			if t.line[i].Length != t.line[last].Length {
				changes++
			}
		}
		last = i
	}
	return changes < tellApart
}

// doubt tells where the recording itself leaves doubt. What is then heard in it
// is fair at most.
func (t *take) doubt() {
	if t.alike() {
		t.unknown = true
		t.notSure("alike", 0)
	}
	unsure := 0
	var levels []float64
	for i := range t.line {
		if m := t.match(i); m.Heard >= 0 && !m.Guessed {
			levels = append(levels, m.Note.Level)
			if m.Note.Trust == dsp.NotSure {
				unsure++
			}
		}
	}
	level, rough := robust.Median(levels), robust.Median(t.aperiodicities)
	var why string
	switch {
	case t.heard.Clipped > clippedMost:
		why = "clipped"
	case level < t.heard.Floor+loudRoom:
		why = "room-loud"
	case level < tooSoft:
		why = "soft"
	case t.drowns:
		why = "staircase"
	case t.accompanied:
		why = "accompanied"
	case !t.plucked && t.noisy && rough > otherSound:
		why = "noisy"
	case !t.plucked && rough > otherSound:
		why = "other-sound"
	case 4*unsure > len(levels):
		why = "unclear"
	default:
		return
	}
	t.doubtful = true
	t.notSure(why, unsure)
}
