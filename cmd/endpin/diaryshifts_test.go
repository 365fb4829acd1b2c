package main

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp"
	"endpin/piece/trend"
)

func TestAShiftIsToldWithItsUncertaintyAndItsVerdictOnce(t *testing.T) {
	g := trend.Group{Shift: trend.Shift{Piece: "Harbour Steps", Measure: "5", Beat: 1, String: 2, From: "1", To: "2-3"}}
	for d := range 10 {
		g.Landings = append(g.Landings, trend.Landing{When: time.Date(2026, 11, 2+2*d, 18, 0, 0, 0, time.UTC), Take: fmt.Sprint(d),
			Cents: 30 - 3*float64(d) + float64(d%3), Tolerance: 18, SettleMS: 150, Trust: dsp.Sure})
	}
	var b strings.Builder
	require.NoError(t, shiftTable(&b, shiftsTold{Shifts: trend.Shifts([]trend.Group{g}, trend.Options{})}))
	said := b.String()
	assert.Contains(t, said, "  measure 5, beat 1, D string, I to II–III\n    Closing in: ")
	assert.Regexp(t, `\n    −1\d cents a week \(95 %: −1\d to −\d.*\)\n`, said)
	assert.Equal(t, 1, strings.Count(strings.ToLower(said), "closing"))
}
