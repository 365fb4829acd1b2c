package desk

import (
	"strings"

	"endpin/piece"
)

// name is a note as it is printed, without its octave.
func (s *Score) name(e *piece.Expected) string {
	if n := s.Piece.Measures[e.Measure].Notes[e.Note].Spelling; n.Step != "" {
		sign := "♯"
		if n.Alter < 0 {
			sign = "♭"
		}
		return n.Step + strings.Repeat(sign, min(2, max(n.Alter, -n.Alter)))
	}
	return s.pitchName(e.MIDI, e.Measure)
}

// pitchName names a pitch in a measure's key.
func (s *Score) pitchName(midi, measure int) string {
	names := [12]string{"C", "C♯", "D", "D♯", "E", "F", "F♯", "G", "G♯", "A", "A♯", "B"}
	if s.Piece.Measures[measure].Key.Fifths < 0 {
		names = [12]string{"C", "D♭", "D", "E♭", "E", "F", "G♭", "G", "A♭", "A", "B♭", "B"}
	}
	return names[(midi%12+12)%12]
}
