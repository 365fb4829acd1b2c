package dsp

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// hum is mains hum with two overtones, of a level in dB.
func hum(hz, db, seconds float64, rate int) []float32 {
	a := math.Sqrt2 * math.Pow(10, db/20)
	return Tone{Freq: Steady(hz), Partials: []float64{a, a / 3, a / 3}, Seconds: seconds, Rate: rate}.Samples()
}

func TestSilenceHasNoNotes(t *testing.T) {
	h := hear(t, make([]float32, 3*44100), 44100)
	assert.Empty(t, h.Notes)
	assert.Empty(t, h.Onsets)
	assert.Zero(t, h.Peak)
	assert.Zero(t, h.Clipped)
	assert.Equal(t, 3.0, h.Duration)
}

func TestNoiseHasNoNotes(t *testing.T) {
	accuracy(t)
	for _, db := range []float64{-60, -40, -20} {
		x := make([]float32, 10*44100)
		Noise(x, db, 11)
		assert.Empty(t, hear(t, x, 44100).Notes, "%v dB", db)
	}
}

func TestTheHumOfTheMainsIsNoNote(t *testing.T) {
	accuracy(t)
	for _, hz := range []float64{50, 60} {
		for _, db := range []float64{-60, -40, -20} {
			x := hum(hz, db, 3, 44100)
			assert.Empty(t, hear(t, x, 44100).Notes, "%v Hz, %v dB", hz, db)
			Noise(x, db-20, 1)
			assert.Empty(t, hear(t, x, 44100).Notes, "%v Hz, %v dB, and noise", hz, db)
		}
	}
}

func TestNotesOverHumAreHeardAndNothingElse(t *testing.T) {
	accuracy(t)
	for _, hz := range []float64{50, 60} {
		for _, under := range []float64{20, 40} {
			x := sound(44100, 4, bowed(0.7, 0.8, 40), bowed(1.9, 0.4, 33), bowed(2.5, 0.8, 28))
			addAt(x, hum(hz, rmsLevel(x)-under, 4, 44100), 0, 44100)
			h := hear(t, x, 44100)
			require.Len(t, h.Notes, 3, "%v Hz, %v dB under", hz, under)
			for i, midi := range []float64{40, 33, 28} {
				assert.InDelta(t, midi, h.Notes[i].Pitch, 0.05, "%v Hz, %v dB under", hz, under)
			}
		}
	}
}

func TestHumNearlyAsLoudAsTheBassIsTakenOut(t *testing.T) {
	accuracy(t)
	for _, hz := range []float64{50, 60} {
		x := sound(44100, 5, bowed(1, 0.8, 43), bowed(2, 0.8, 31), bowed(3, 0.8, 35)) // 98, 49 and 62 Hz
		addAt(x, hum(hz, rmsLevel(x)-8, 5, 44100), 0, 44100)
		h := hear(t, x, 44100)
		assert.Equal(t, hz, h.Hum)
		require.Len(t, h.Notes, 3, "%v Hz", hz)
		for i, midi := range []float64{43, 31, 35} {
			assert.InDelta(t, midi, h.Notes[i].Pitch, 0.03, "%v Hz", hz)
		}
	}
}

func TestALongNoteBesideTheMainsIsNoHum(t *testing.T) {
	x := sound(44100, 6, bowed(0, 5.5, 31)) // 49 Hz, from the first sample on
	h := hear(t, x, 44100)
	assert.Zero(t, h.Hum)
	require.Len(t, h.Notes, 1)
	assert.InDelta(t, 31, h.Notes[0].Pitch, 0.03)
}

func TestAStandingOffsetChangesNothing(t *testing.T) {
	accuracy(t)
	x := sound(44100, 2, bowed(0.5, 1, 40))
	plain := hear(t, x, 44100)
	for i := range x {
		x[i] += 0.3
	}
	offset := hear(t, x, 44100)
	require.Len(t, offset.Notes, len(plain.Notes))
	assert.InDelta(t, plain.Notes[0].Onset, offset.Notes[0].Onset, 0.01)
	assert.InDelta(t, plain.Notes[0].Pitch, offset.Notes[0].Pitch, 1e-3)
}

func TestClippedSoundIsTold(t *testing.T) {
	accuracy(t)
	x := sound(44100, 2, bowed(0.5, 1, 33))
	top := 0.0
	for _, v := range x {
		top = math.Max(top, math.Abs(float64(v)))
	}
	at := func(gain float64) *Heard {
		y := make([]float32, len(x))
		for i, v := range x {
			y[i] = float32(math.Max(-1, math.Min(1, gain/top*float64(v))))
		}
		return hear(t, y, 44100)
	}
	clean := at(0.98)
	assert.Zero(t, clean.Clipped)
	assert.InDelta(t, 0.98, clean.Peak, 1e-3)
	last := 0.0
	for _, gain := range []float64{1.3, 2, 4} {
		h := at(gain)
		assert.Greater(t, h.Clipped, last+0.005, "%v times too loud", gain)
		last = h.Clipped
		assert.Equal(t, 1.0, h.Peak)
		require.Len(t, h.Notes, 1)
		assert.InDelta(t, 33, h.Notes[0].Pitch, 0.01, "the pitch is still there")
	}
}

func TestASoftTakeIsHeardLikeALoudOne(t *testing.T) {
	accuracy(t)
	x := lesson(44100)
	loud := hear(t, x, 44100)
	for i := range x {
		x[i] *= 0.05 // 26 dB less, and what the noise is is as much less
	}
	soft := hear(t, x, 44100)
	require.Len(t, soft.Notes, len(loud.Notes))
	for i, n := range soft.Notes {
		assert.InDelta(t, loud.Notes[i].Onset, n.Onset, 0.01)
		assert.InDelta(t, loud.Notes[i].Pitch, n.Pitch, 1e-3)
		assert.InDelta(t, loud.Notes[i].Level-26, n.Level, 0.1)
	}
	assert.InDelta(t, loud.Floor-26, soft.Floor, 1)
}

func TestTheRoomIsMeasuredBetweenTheNotes(t *testing.T) {
	accuracy(t)
	for _, db := range []float64{-50, -40} {
		x := sound(44100, 4, bowed(1, 1, 36), bowed(2.5, 1, 36))
		Noise(x, db, 6)
		room := make([]float32, 44100)
		Noise(room, db, 6)
		quiet := 0.0
		frames := framesBetween(track(t, room, 44100), 0.2, 0.8)
		for _, f := range frames {
			quiet += f.Level / float64(len(frames))
		}
		assert.InDelta(t, quiet, hear(t, x, 44100).Floor, 3, "noise of %v dB", db)
	}
}
