package fingerboard

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestAStringStoppedInTheMiddleSoundsTheOctave(t *testing.T) {
	assert.InDelta(t, 525, FromBridge(1050, 12), 1e-9)
	assert.InDelta(t, 1050*2/3., FromBridge(1050, 7.019550), 0.001, "a pure fifth leaves two thirds")
	assert.InDelta(t, 1050*3/4., FromBridge(1050, 4.980450), 0.001, "a pure fourth three quarters")
	// Makers divide a tempered fingerboard by 17.817 for the first semitone
	// (the exact form of the rule of eighteen; common practice).
	assert.InDelta(t, 1050/17.817, 1050-FromBridge(1050, 1), 0.01)
}

func TestASharpNoteLiesTowardTheBridge(t *testing.T) {
	in := DoubleBass()
	mm := in.Displaced(5, 28)
	assert.InDelta(t, 12.6, mm, 0.1, "C on the G string, 28 cents sharp")
	assert.Positive(t, mm, "too far toward the bridge")
	assert.Negative(t, in.Displaced(5, -28), "too far toward the scroll")
	assert.InDelta(t, FromBridge(in.Length, 5)-FromBridge(in.Length, 6), in.Displaced(5, 100), 1e-9,
		"a hundred cents is the next semitone")
	assert.Greater(t, in.Displaced(1, 20), in.Displaced(13, 20), "the same cents are a smaller way higher up")
	assert.InDelta(t, 2, in.Displaced(0, 20)/in.Displaced(12, 20), 1e-9, "half of it at the octave")
	in.Length = HalfSizeBass
	assert.InDelta(t, mm*960/1050, in.Displaced(5, 28), 1e-9)
}
