package main

import (
	"fmt"
	"math"
	"math/rand"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Of many pieces of one case each the interval is the textbook's for a share, by the
// normal distribution: p ± 1.96·√(p(1-p)/n).
func TestTheIntervalOfASingleCaseAPieceIsTheTextbooks(t *testing.T) {
	var s share
	for i := range 400 {
		s.see(fmt.Sprint(i), i%10 != 0)
	}
	assert.InDelta(t, 0.9, s.of(), 1e-12)
	low, high := interval(400, func(drawn []int) float64 {
		so := 0
		for _, i := range drawn {
			if i%10 != 0 {
				so++
			}
		}
		return float64(so) / float64(len(drawn))
	})
	half := 1.96 * math.Sqrt(0.9*0.1/400)
	assert.InDelta(t, 0.9-half, low, 0.004)
	assert.InDelta(t, 0.9+half, high, 0.004)
	assert.Equal(t, fmt.Sprintf("0.900 (%.3f-%.3f)", low, high), s.String())
}

func TestNotesOfOnePieceAreNotSoManyIndependentOnes(t *testing.T) {
	rng := rand.New(rand.NewSource(7))
	var byPiece, byNote share
	for piece := range 20 {
		so := rng.Intn(2)
		for note := range 30 { // all of a piece, or none of it
			byPiece.add(fmt.Sprint(piece), so, 1)
			byNote.add(fmt.Sprint(piece, "/", note), so, 1)
		}
	}
	width := func(s share) float64 {
		var f, low, high float64
		_, err := fmt.Sscanf(s.String(), "%f (%f-%f)", &f, &low, &high)
		assert.NoError(t, err)
		return high - low
	}
	assert.InDelta(t, math.Sqrt(30), width(byPiece)/width(byNote), 1.0)
}

func TestAShareOfNothingIsNone(t *testing.T) {
	var s share
	assert.Equal(t, "-", s.String())
	s.see("a", true)
	s.see("b", true)
	assert.Equal(t, "1.000 (1.000-1.000)", s.String())
	assert.Equal(t, count{2, 2}, s.total())
	s.add("c", 0, 0)
	assert.Equal(t, "1.000 (1.000-1.000)", s.String(), "a piece without a case counts for none")
}

func TestFIsOfAllTakesTogether(t *testing.T) {
	p, r, f := prf([]hits{{8, 10, 8}, {4, 10, 12}}, []int{0, 1})
	assert.InDelta(t, 0.6, p, 1e-12)
	assert.InDelta(t, 0.6, r, 1e-12)
	assert.InDelta(t, 0.6, f, 1e-12)
}
