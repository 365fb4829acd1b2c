package pupil

import (
	"fmt"

	"endpin/piece"
	"endpin/piece/fingerboard"
)

// FromPiece makes a tune of a piece as printed. The pupil's hand goes where
// Endpin's own fingering puts it; the marks of the piece are obeyed. A piece
// without a tempo is played at 80 quarter notes a minute.
func FromPiece(p *piece.Piece) (*Tune, error) {
	t := &Tune{Piece: p, QPM: p.TempoAt(0, 0)}
	if t.QPM == 0 {
		t.QPM = 80
	}
	line, _ := p.Line()
	if len(line) == 0 {
		return nil, fmt.Errorf("%s: no notes", p.Title)
	}
	for _, n := range line {
		t.Line = append(t.Line, Step{Expected: n})
	}
	return t, t.Refinger()
}

// Refinger lays the line under the hand by Endpin's own fingering: for tunes
// whose marks do not say all.
func (t *Tune) Refinger() error {
	line := make([]piece.Expected, len(t.Line))
	for i, s := range t.Line {
		line[i] = s.Expected
	}
	plan := fingerboard.DoubleBass().Finger(line, fingerboard.Options{QPM: t.QPM})
	for i, f := range plan.Notes {
		if f.Off {
			return fmt.Errorf("%s: measure %s: MIDI %d is not on the instrument", t.Piece.Title, line[i].Number, line[i].MIDI)
		}
		t.Line[i].Hand = Hand{String: f.String, Finger: f.Finger, Position: f.Position}
		t.Line[i].Marks.Harmonic = f.Harmonic
	}
	return nil
}
