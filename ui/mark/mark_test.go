package mark_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"

	"endpin/dsp"
	"endpin/piece"
	"endpin/piece/finding"
	"endpin/ui/mark"
)

func TestWhatIsToldOnceOfSeveralPlacesIsMarkedAtEach(t *testing.T) {
	var measures []piece.Measure
	for i := range 8 {
		measures = append(measures, piece.Measure{Number: fmt.Sprint(i + 1)})
	}
	waits := finding.Finding{Kind: finding.Paused, Measure: "2", ToMeasure: "7", Pass: 1, Beat: 1, Value: 0.7, Trust: dsp.Sure, Notes: 3,
		Places: []finding.Place{{Measure: "5", Pass: 1, Beat: 1}, {Measure: "7", Pass: 1, Beat: 3}}}
	slower := finding.Finding{Kind: finding.SlowerPassage, Measure: "3", ToMeasure: "4", Pass: 1, Beat: 1, Value: 0.7, Trust: dsp.Sure, Notes: 8}
	by := mark.ByMeasure([]finding.Finding{waits, slower}, measures, nil)
	for i, n := range []int{0, 1, 1, 1, 1, 0, 1, 0} {
		assert.Len(t, by[i], n, "measure %d", i+1)
	}
	assert.False(t, by[4][0].GoesOn, "it stands there by itself")
	assert.True(t, by[3][0].GoesOn)
}
