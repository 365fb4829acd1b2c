package closelook

import (
	"endpin/piece"
	"endpin/piece/words"
)

// name is a note as it is printed, without its octave.
func (t *Take) name(e *piece.Expected) string {
	if n := t.Piece.Measures[e.Measure].Notes[e.Note].Spelling; n.Step != "" {
		return words.Note{Step: n.Step, Alter: max(-2, min(2, n.Alter))}.String()
	}
	return t.pitchName(e.MIDI, e.Measure)
}

// pitchName names a pitch in a measure's key.
func (t *Take) pitchName(midi, measure int) string {
	steps := "CCDDEFFGGAAB"
	if t.Piece.Measures[measure].Key.Fifths < 0 {
		steps = "CDDEEFGGAABB"
	}
	class := (midi%12 + 12) % 12
	n := words.Note{Step: steps[class : class+1]}
	if black[class] {
		n.Alter = 1
		if t.Piece.Measures[measure].Key.Fifths < 0 {
			n.Alter = -1
		}
	}
	return n.String()
}

// black are the pitches that have no name without an accidental.
var black = [12]bool{1: true, 3: true, 6: true, 8: true, 10: true}
