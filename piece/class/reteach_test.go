package class

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece"
	"endpin/piece/finding"
)

// ten is a class of ten, of whom the first few were told of something, each of one thing.
func ten(p *piece.Piece, told ...finding.Finding) []Reteach {
	var seats []Seat
	var results []Result
	for i := range 10 {
		file := fmt.Sprint("take ", i)
		seats = append(seats, Seat{file, []string{file}})
		h := played(p, 0, 32)
		if i < len(told) {
			h.Findings = append(h.Findings, told[i])
		}
		results = append(results, Result{File: file, Hearing: h})
	}
	return Gather(p, "", seats, results, nil).Reteach
}

func TestPassagesThatGoThroughTheSameMeasuresAreSharedWhereverEachBegins(t *testing.T) {
	slower := func(from, to string) finding.Finding {
		f := found(finding.SlowerPassage, from)
		f.ToMeasure = to
		return f
	}
	all := ten(tune(), slower("2", "5"), slower("4", "7"), slower("3", "5"), slower("8", "8"))
	require.Len(t, all, 1)
	assert.Equal(t, "3 of 10 went slower than their own pace in measures 4–5.", all[0].Text())
	assert.Empty(t, ten(tune(), slower("2", "3"), slower("5", "6")), "none shares a measure")
}

func TestAMannerThatThreeShareIsOfNoMeasure(t *testing.T) {
	short := found(finding.HeldShort, "1")
	short.ToMeasure, short.Notes, short.Value = "8", 32, 0.5
	all := ten(tune(), short, short, short)
	require.Len(t, all, 1)
	assert.Equal(t, "3 of 10 let their notes go early all through the piece.", all[0].Text())
}
