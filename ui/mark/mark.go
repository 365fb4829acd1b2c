// Package mark is how a finding stands on the page: its shape, and its words in short.
package mark

import (
	"slices"

	"endpin/dsp"
	"endpin/piece"
	"endpin/piece/finding"
)

// Mark is what was heard in one measure, as it stands under it.
type Mark struct {
	Measure int // index into Piece.Measures
	Kind    finding.Kind
	Text    string
	Brief   string // without what its shape says as well
	Fair    bool   // drawn hollow
	Aside   bool   // the player put it aside: in brackets, and soft
	GoesOn  bool   // it began in a measure before
}

// ByMeasure are the marks under each measure that findings name; what is of the whole
// take stands under none. aside says which of them were put aside, and may be nil.
func ByMeasure(all []finding.Finding, measures []piece.Measure, aside func(i int) bool) map[int][]Mark {
	at := func(number string) int {
		return slices.IndexFunc(measures, func(m piece.Measure) bool { return m.Number == number })
	}
	marks := map[int][]Mark{}
	for i := range all {
		f := &all[i]
		along, places := f.Drawn(at)
		for n, measure := range slices.Concat(along, places) {
			m := Of(f, measure)
			m.Aside, m.GoesOn = aside != nil && aside(i), n > 0 && n < len(along)
			marks[measure] = append(marks[measure], m)
		}
	}
	return marks
}

// Of tells a finding as a mark.
func Of(f *finding.Finding, measure int) Mark {
	return Mark{Measure: measure, Kind: f.Kind, Text: f.Mark(finding.PageMark).String(), Brief: f.Mark(finding.BriefMark).String(), Fair: f.Trust != dsp.Sure}
}

// OfTake are the marks of what concerns the whole take: its tuning, its tempo. They stand
// under no measure. aside says which were put aside, and may be nil.
func OfTake(all []finding.Finding, aside func(i int) bool) (marks []Mark) {
	for i := range all {
		if f := &all[i]; f.Kind.Row().About == finding.WholeTake {
			m := Of(f, -1)
			m.Aside = aside != nil && aside(i)
			marks = append(marks, m)
		}
	}
	return marks
}
