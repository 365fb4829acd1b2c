// Package score is the piece on the desk, with what is worked out of it once.
package score

import (
	"path/filepath"

	"endpin/piece"
	"endpin/piece/fingerboard"
	"endpin/piece/homework"
	"endpin/piece/words"
)

// Score is a piece with the line that is played of it and its fingering.
type Score struct {
	Piece   *piece.Piece
	File    string // where it came from
	Part    string // of that file, as it was asked for; "" for the one that fits
	Demo    bool   // it comes with Endpin
	Content string // what it is known by, see piece.Content
	On      fingerboard.Named
	Line    []piece.Expected
	Played  []piece.PlayedMeasure
	Plan    fingerboard.Plan

	Homework *homework.File // that it is the piece of; nil for none
}

// New works out the line and its fingering on the bass.
func New(p *piece.Piece, file string) *Score { return For(p, file, fingerboard.Instruments()[0]) }

// For works out the line and its fingering on an instrument.
func For(p *piece.Piece, file string, in fingerboard.Named) *Score {
	s := &Score{Piece: p, File: file, On: in}
	s.Line, s.Played = p.Line()
	s.Content = piece.Content(s.Line)
	s.Plan = in.For(p).Finger(s.Line, fingerboard.Options{QPM: s.QPM()})
	return s
}

// Fingered is the same with other marks on its notes.
func (s *Score) Fingered(p *piece.Piece) *Score {
	x := For(p, s.File, s.On)
	x.Part, x.Demo, x.Homework = s.Part, s.Demo, s.Homework
	return x
}

// Title is the piece's own, or its file's name.
func (s *Score) Title() string {
	if s.Piece.Title != "" {
		return s.Piece.Title
	}
	return filepath.Base(s.File)
}

// QPM is the tempo at the start of the piece.
func (s *Score) QPM() float64 { return s.Tempo(0, 0) }

// Tempo is the one written at a place, quarter notes a minute.
func (s *Score) Tempo(measure int, at piece.Ticks) float64 {
	if qpm := s.Piece.TempoAt(measure, at); qpm > 0 {
		return qpm
	}
	return piece.Unhurried
}

// Range names measures as they are printed: "21-24", or "6".
func (s *Score) Range(first, last int) string {
	m := s.Piece.Measures
	if len(m) == 0 {
		return ""
	}
	a, b := m[first].Number, m[last].Number
	if a == b {
		return a
	}
	return a + "-" + b
}

// Whole reports whether these are all the measures of the piece.
func (s *Score) Whole(first, last int) bool { return first == 0 && last == len(s.Piece.Measures)-1 }

// The tempos that can be asked for, quarter notes a minute.
const (
	LowestQPM  = 15
	HighestQPM = 400
)

// NoTempo is the sentence about a tempo that cannot be asked for.
func NoTempo(typed string) error {
	return words.Fault("desk.tempo.typed", "typed", words.Quoted(typed), "lowest", LowestQPM, "highest", HighestQPM)
}
