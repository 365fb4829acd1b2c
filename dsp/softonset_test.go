package dsp

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// swelling is a bow that scratches for a while, so many dB below the note, before the
// string sounds, and then brings it up slowly: low notes of recorded basses do so
// (measured on those of testdata/realbass, B1 to C♯2: 0.15 s, 20 dB).
func swelling(at, midi, scratch, swell float64) []float32 {
	strokes := row(bowed, 0.5, 0.93, repeated(40, int(2*at)-1)...) // hardly a pause: the room is not heard
	s := bowed(at+scratch, 0.9-scratch, midi)
	s.attack = swell
	x := sound(44100, at+3, append(append(strokes, s), row(bowed, 0.5, 0.93, repeated(40, int(2*at)+4)...)[int(2*at)+1:]...)...)
	n := make([]float32, int((scratch+swell/2)*44100))
	Noise(n, -26, 5)
	addAt(x, n, at, 44100)
	return x
}

func TestANoteThatSwellsOutOfSilenceIsOneNoteFromItsScratchOn(t *testing.T) {
	accuracy(t)
	for _, midi := range []float64{33, 35, 37, 41} {
		for _, swell := range []float64{0.15, 0.2, 0.25, 0.3} {
			what := fmt.Sprintf("MIDI %v, %v s", midi, swell)
			h := hear(t, swelling(4.08, midi, 0.1, swell), 44100)
			var swelled []Note
			for _, n := range h.Notes {
				if n.Onset > 4 && n.Onset < 4.9 {
					swelled = append(swelled, n)
				}
			}
			require.Len(t, swelled, 1, what)
			assert.InDelta(t, 4.08, swelled[0].Onset, 0.06, what)
			assert.InDelta(t, midi, swelled[0].Pitch, 0.05, what)
		}
	}
}

func TestAScratchWithoutANoteIsNone(t *testing.T) {
	x := sound(44100, 4, bowed(0.5, 0.6, 40), bowed(3, 0.6, 38))
	n := make([]float32, 44100/2)
	Noise(n, -24, 5)
	addAt(x, n, 1.6, 44100)
	assert.Len(t, hear(t, x, 44100).Notes, 2)
}
