package dsp

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp/robust"
)

// What a room or a string goes on with for half a second lies over the note that follows:
// that begins when a tenth of it would be heard if it were alone.
func TestAStringThatRingsHidesNoBeginning(t *testing.T) {
	accuracy(t)
	for _, step := range []float64{2, 4, 7} { // a semitone takes longer to come apart
		var off []float64
		for i, midi := range []float64{38, 41, 43, 46} {
			before, next := bowed(0.5, 0.6, midi), bowed(1.1037, 0.8, midi+step)
			before.release, next.attack = 0.5, 0.15
			x := sound(44100, 2.5, before, next)
			Noise(x, -60, int64(i))
			h := hear(t, x, 44100)
			for _, n := range h.Notes {
				if math.Abs(n.Pitch-midi-step) < 0.5 {
					off = append(off, n.Onset-next.heardAt())
					break
				}
			}
		}
		require.Len(t, off, 4, "%g semitones above", step)
		t.Logf("%g semitones above: %.3f s off", step, off)
		assert.InDelta(t, 0, robust.Median(off), 0.03, "%g semitones above", step)
	}
}
