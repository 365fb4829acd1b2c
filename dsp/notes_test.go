package dsp

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// one hears a take that has one note.
func one(t *testing.T, x []float32, rate int, what ...any) Note {
	t.Helper()
	h := hear(t, x, rate)
	require.Len(t, h.Notes, 1, fmt.Sprint(what...))
	return h.Notes[0]
}

func TestANoteIsHeardAtThePitchItIsPlayed(t *testing.T) {
	accuracy(t)
	for _, rate := range []int{44100, 48000} {
		for i, midi := range theStrings {
			off := float64(i*7%60 - 30) // cents
			n := one(t, sound(rate, 1.6, bowed(0.4, 0.8, midi+off/100)), rate)
			assert.InDelta(t, midi+off/100, n.Pitch, 0.003, "MIDI %v, %v cents", midi, off)
			assert.Less(t, n.Spread, 0.5)
			assert.Equal(t, Sure, n.Trust)
			assert.False(t, n.Plucked)
			assert.Zero(t, n.VibratoRate)
			assert.Zero(t, n.VibratoExtent)
			assert.InDelta(t, n.Pitch, n.Landing, 0.01)
			assert.Less(t, n.Settle, 0.1)
			assert.Less(t, n.Aperiodicity, 0.01)
		}
	}
}

func TestANoteCutShortIsHeardShort(t *testing.T) {
	accuracy(t)
	for _, midi := range []float64{28, 35, 43, 50} {
		for _, seconds := range []float64{0.25, 0.5, 1} {
			s := bowed(0.5, seconds, midi)
			n := one(t, sound(44100, 2, s), 44100, midi, seconds)
			assert.InDelta(t, s.at+s.seconds, n.Offset, 0.03, "MIDI %v, %v s", midi, seconds)
		}
	}
}

func TestANoteLastsUntilTheNextBegins(t *testing.T) {
	accuracy(t)
	h := hear(t, sound(44100, 3, row(bowed, 0.5, 1, 33, 35, 36, 38)...), 44100)
	require.Len(t, h.Notes, 4)
	for i, n := range h.Notes[:3] {
		assert.InDelta(t, h.Notes[i+1].Onset, n.Offset, 0.02)
	}
}

func TestTheSteadyPartLeavesOutAttackAndRelease(t *testing.T) {
	accuracy(t)
	// The attack scoops up a semitone, the release sinks by one.
	s := bowed(0.5, 1, 38)
	s.freq = func(t float64) float64 {
		return Hz(38 - math.Max(0, 1-t/0.12) - math.Max(0, (t-0.98)/0.05))
	}
	n := one(t, sound(44100, 2, s), 44100)
	assert.InDelta(t, 38, n.Pitch, 0.005)
	assert.GreaterOrEqual(t, n.SteadyFrom, 0.62)
	assert.LessOrEqual(t, n.SteadyTo, 1.48)
	assert.Less(t, n.Spread, 2.0)
}

func TestTheGlideOfAShiftBelongsToNoPitch(t *testing.T) {
	accuracy(t)
	s := bowed(0.5, 2, 38)
	s.freq = Glide(Hz(38), Hz(43.2), 0.95, 1.02)
	h := hear(t, sound(44100, 3, s), 44100)
	require.Len(t, h.Notes, 2)
	assert.InDelta(t, 38, h.Notes[0].Pitch, 0.01)
	assert.InDelta(t, 43.2, h.Notes[1].Pitch, 0.01)
	assert.InDelta(t, 43.2, h.Notes[1].Landing, 0.1, "the hand landed where it stayed")
}

func TestALandingThatIsCorrectedIsTold(t *testing.T) {
	accuracy(t)
	for _, off := range []float64{-45, -25, 25, 45} {
		s := bowed(0.5, 1.8, 43)
		s.freq = func(t float64) float64 { return Hz(43) * Cents(off*math.Min(1, math.Max(0, (0.45-t)/0.1))) } // from 0.35 to 0.45 s
		n := one(t, sound(44100, 3, s), 44100)
		assert.InDelta(t, 43, n.Pitch, 0.01, "the pitch is where the note stays")
		assert.InDelta(t, 43+off/100, n.Landing, 0.03, "%v cents", off)
		assert.InDelta(t, 0.43, n.Settle, 0.06, "%v cents", off)
	}
}

func TestVibratoIsMeasured(t *testing.T) {
	accuracy(t)
	for _, midi := range []float64{33, 43, 50} {
		for _, rate := range []float64{4, 5.5, 7} {
			s := bowed(0.5, 2, midi)
			s.freq = Vibrato(Hz(midi), 20, rate)
			n := one(t, sound(44100, 3, s), 44100, midi, rate)
			assert.InDelta(t, midi, n.Pitch, 0.01, "MIDI %v at %v Hz: its mean is its pitch", midi, rate)
			assert.InDelta(t, rate, n.VibratoRate, 0.15, "MIDI %v", midi)
			// A frame averages over 75 ms at most, so the quicker the less is seen.
			assert.InDelta(t, 20*(1-0.025*rate), n.VibratoExtent, 3, "MIDI %v at %v Hz", midi, rate)
		}
	}
}

func TestAPluckedNoteIsKnownByItsDecay(t *testing.T) {
	accuracy(t)
	for _, midi := range []float64{28, 33, 43, 50} {
		for _, decay := range []float64{20, 40} {
			s := plucked(0.5, 1, midi)
			s.decay = decay
			n := one(t, sound(44100, 2, s), 44100, midi, decay)
			assert.True(t, n.Plucked, "MIDI %v, %v dB a second", midi, decay)
			assert.InDelta(t, midi, n.Pitch, 0.005)
		}
	}
	s := bowed(0.5, 1, 38)
	s.decay = 8 // a bow that lightens
	assert.False(t, one(t, sound(44100, 2, s), 44100).Plucked)
}

func TestTrustFallsAsTheNoiseRises(t *testing.T) {
	accuracy(t)
	sureness := map[Trust]int{Sure: 2, Fair: 1, NotSure: 0}
	last, lowest := 2, 2
	for _, snr := range []float64{40, 20, 10, 0, -3, -6, -9, -12} {
		x := sound(44100, 3, bowed(0.5, 2, 36))
		Noise(x, rmsLevel(x[44100:88200])-snr, 9)
		h := hear(t, x, 44100)
		if len(h.Notes) == 0 {
			continue // not heard at all: not trusted either
		}
		n := h.Notes[len(h.Notes)/2]
		t.Logf("%2.0f dB: %s, aperiodicity %.2f, %.1f cents off", snr, n.Trust, n.Aperiodicity, 100*(n.Pitch-36))
		assert.LessOrEqual(t, sureness[n.Trust], last, "%v dB", snr)
		last = sureness[n.Trust]
		lowest = min(lowest, last)
		if n.Trust == Sure {
			assert.InDelta(t, 36, n.Pitch, 0.02, "%v dB", snr)
		}
		if snr >= 30 {
			assert.Equal(t, Sure, n.Trust, "%v dB", snr)
		}
	}
	assert.Less(t, lowest, 2, "noise louder than the note is not passed over")
}

func TestTheRobustMeanForgetsAStrayFrame(t *testing.T) {
	mean, spread := trimmedMean([]float64{40, 40.01, 39.99, 40, 40.02, 39.98, 52})
	assert.InDelta(t, 40, mean, 0.005)
	assert.Less(t, spread, 5.0)
	mean, spread = trimmedMean([]float64{40})
	assert.Equal(t, []float64{40, 0}, []float64{mean, spread})
}
