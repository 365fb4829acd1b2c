package engraving

import (
	"endpin/piece"
	"endpin/piece/fingerboard"
)

// Options is how a piece is laid out. The zero value lays out the whole piece,
// 100 staff spaces wide, with the marks that stand in it.
type Options struct {
	Width  float64 // staff spaces, margins included; 0 for 100
	Margin float64 // left and right of the staves; 0 for 1, below 0 for none

	// First is an index into Piece.Measures, Count how many from there; 0 for all that follow.
	First, Count int

	// Plan is the fingering of Line, both or neither.
	Plan *fingerboard.Plan
	Line []piece.Expected

	Fingers Fingering
	Frames  bool             // brackets over the notes of one hand frame, where there is a Plan
	Strings []string         // names from string 1; nil for G D A E
	Labels  map[int]string   // over the measures at which sections begin
	Under   map[int][]Remark // lines under measures
	Meant   *Meant           // notes with a bracket under them; nil for none
	OneLine bool             // one system as wide as it needs; Width is not looked at
	Above   float64          // room over each system
	Below   float64          // room under each system
}

// Fingering says which fingers of the Plan are printed.
type Fingering int

// What is printed: HandFingers prints those marked and those where the hand
// moves or a string is named, AllFingers every one, MarkedFingers only those that stand in the piece, with every string
// that is marked there.
const (
	HandFingers Fingering = iota
	AllFingers
	MarkedFingers
)

// Remark is one line under a measure: a small shape and words.
type Remark struct {
	Shape string // up, down, left, right, plus; any other name a diamond, empty none
	Text  string
}

// Meant are notes from one to another, both included, by their indexes as in Anchor.
type Meant struct{ Measure, Note, ToMeasure, ToNote int }

// bounds gives the measures from first up to last, without last.
func (o Options) bounds(p *piece.Piece) (first, last int) {
	first, last = min(max(0, o.First), len(p.Measures)), len(p.Measures)
	if o.Count > 0 {
		last = min(first+o.Count, last)
	}
	return first, last
}
