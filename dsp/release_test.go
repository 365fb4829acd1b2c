package dsp

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// inRoom rings on by so many dB under a sound, and dies away by 60 dB in seconds.
// (Schroeder 1962: feedback combs side by side.)
func inRoom(x []float32, rate int, seconds, db float64) []float32 {
	wet := make([]float64, len(x))
	for _, delay := range []float64{0.0297, 0.0371, 0.0411, 0.0437, 0.0533, 0.0617} {
		back := math.Pow(10, -3*delay/seconds)
		ring := make([]float64, int(delay*float64(rate)))
		for i, v := range x {
			k := i % len(ring)
			y := ring[k]
			wet[i] += y
			ring[k] = float64(v) + back*y
		}
	}
	var dry, tail float64
	for i, v := range x {
		dry += float64(v) * float64(v)
		tail += wet[i] * wet[i]
	}
	gain := math.Pow(10, db/20) * math.Sqrt(dry/tail)
	out := make([]float32, len(x))
	for i, v := range x {
		out[i] = v/2 + float32(gain*wet[i]/2)
	}
	return out
}

func TestHowARoomRingsIsHeardInThePauses(t *testing.T) {
	accuracy(t)
	x := sound(44100, 7, row(bowed, 1.5, 0.6, 33, 40, 36, 43)...)
	dry := hear(t, x, 44100).Release.Level
	assert.Greater(t, dry, 25.0, "a dry room")
	last := dry
	for _, room := range []struct{ seconds, db float64 }{{0.5, -14}, {0.8, -8}, {1.6, -4}} {
		fall := hear(t, inRoom(x, 44100, room.seconds, room.db), 44100).Release.Level
		assert.Less(t, fall, last-2, "%v s, %v dB", room.seconds, room.db)
		assert.Greater(t, fall, 0.0)
		last = fall
	}
	assert.Less(t, last, 10.0, "a staircase")
}

func TestWithoutAPauseNothingIsKnownOfTheRoom(t *testing.T) {
	accuracy(t)
	x := sound(44100, 4.5, row(bowed, 1, 1, 33, 40, 36, 43)...) // to the end of the recording
	assert.Zero(t, hear(t, x, 44100).Release)
}

// Two notes at once have a period in common: of a fifth, an octave below the lower.
func TestANoteUnderTheRingOfTheOneBeforeIsOneNote(t *testing.T) {
	accuracy(t)
	for _, pair := range [][2]float64{{40, 33}, {43, 36}, {38, 45}, {36, 43}} {
		x := sound(44100, 3.2, bowed(0.5, 0.9, pair[0]), bowed(1.45, 1.2, pair[1]))
		// What rings on of the first, under the second.
		ring := stroke{freq: Steady(Hz(pair[0])), partials: Sawtooth, seconds: 0.9, attack: 0.02, release: 0.03, decay: 60, gain: 0.5}
		addAt(x, sound(44100, 1.2, ring), 1.4, 44100)
		h := hear(t, x, 44100)
		var in []Note
		for _, n := range h.Notes {
			if n.Onset > 1.3 {
				in = append(in, n)
			}
		}
		require.NotEmpty(t, in, "%v", pair)
		assert.InDelta(t, pair[1], in[len(in)-1].Pitch, 0.05, "%v", pair)
		for _, n := range in {
			assert.Greater(t, n.Pitch, math.Min(pair[0], pair[1])-0.5, "%v: a note lower than both", pair)
		}
	}
}
