package dsp

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Equal temperament at A4 = 440 Hz (ISO 16:1975), f = 440·2^((d-69)/12) for key d
// (MIDI Tuning Standard, which gives key 0 as 8.1758 Hz), as tables print it.
var printed = map[string]struct{ midi, hz float64 }{
	"the lowest key": {0, 8.1758},
	"B0":             {23, 30.8677}, "the open E string": {28, 41.2034},
	"the open A string": {33, 55.0000}, "the open D string": {38, 73.4162},
	"the open G string": {43, 97.9989}, "G3": {55, 195.998},
	"middle C": {60, 261.626}, "G4": {67, 391.995}, "A4": {69, 440},
}

func TestTheNotesHaveTheFrequenciesThatTablesPrint(t *testing.T) {
	for name, n := range printed {
		assert.InEpsilon(t, n.hz, Hz(n.midi), 3e-6, name)
		assert.InDelta(t, n.midi, MIDI(n.hz), 1e-4, name)
	}
}

func TestAnIntervalIsARatio(t *testing.T) {
	assert.InDelta(t, 2, Cents(1200), 1e-12, "an octave")
	assert.InDelta(t, 1, Cents(0), 1e-12, "no interval")
	// 3/2 is 701.955 cents: A. J. Ellis in Helmholtz, On the Sensations of Tone; from memory.
	assert.InDelta(t, 1.5, Cents(701.955), 1e-6, "a pure fifth")
	assert.InDelta(t, Hz(43.5), Hz(43)*Cents(50), 1e-9, "a quarter tone above G")
}

func TestWhatCannotBeListenedForIsRefusedByName(t *testing.T) {
	for names, ask := range map[string]struct {
		c    Config
		rate int
	}{
		"rate 7999":   {Bass, 7999},
		"rate 192001": {Bass, 192001},
		"rate -1":     {Bass, -1},
		"0 to 0 Hz":   {Config{Lag: 3}, 44100},
		"10 to 500":   {Config{Low: 10, High: 500, Lag: 3}, 44100},
		"28 to 4000":  {Config{Low: 28, High: 4000, Lag: 3}, 44100},
		"300 to 400":  {Config{Low: 300, High: 400, Lag: 3}, 44100},
		"0 frames":    {Config{Low: 28, High: 500}, 44100},
	} {
		_, err := NewListener(ask.c, ask.rate)
		require.ErrorContains(t, err, names)
		_, err = Listen(&Samples{SampleRate: ask.rate, Data: make([]float32, 100)}, ask.c)
		require.ErrorContains(t, err, names)
	}
	for _, rate := range []int{MinRate, 11025, 16000, 22050, 44100, 48000, 96000, MaxRate} {
		_, err := NewListener(Bass, rate)
		require.NoError(t, err, "%d", rate)
		_, err = NewListener(Bass.Live(), rate)
		require.NoError(t, err, "%d", rate)
	}
}
