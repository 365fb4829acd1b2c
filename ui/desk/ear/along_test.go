package ear

import (
	"math"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp"
	"endpin/dsp/recording"
	"endpin/ui/desk/tape"
)

const rate = 8000

// played are four notes, the last too loud for a file, and a sample that is no number.
func played() []float32 {
	var x []float32
	for i, midi := range []float64{40, 45, 47.3, 38} {
		tone := dsp.Tone{Freq: dsp.Steady(dsp.Hz(midi)), Partials: dsp.Sawtooth, Seconds: 0.7, Rate: rate}.Samples()
		for k := range tone {
			tone[k] *= float32(i+1) / 2
		}
		x = append(append(x, make([]float32, rate/5)...), tone...)
	}
	dsp.Noise(x, -60, 3)
	x[rate/2] = float32(math.NaN())
	return x
}

func TestATakeIsHeardWhileItIsPlayedAsItsFileIs(t *testing.T) {
	x := played()
	path := filepath.Join(t.TempDir(), "take.wav")
	file, err := tape.New(tape.NewFile, path, rate)
	require.NoError(t, err)
	a, err := NewAlong(dsp.Bass, rate)
	require.NoError(t, err)
	for at, n := 0, 0; at < len(x); at += n { // as many at once as a microphone happens to give
		n = min(len(x)-at, 37+at%211)
		file.Write(x[at : at+n])
		a.Write(x[at : at+n])
	}
	a.End()
	require.NoError(t, file.Close())
	r, err := recording.Open(path)
	require.NoError(t, err)
	defer r.Close()
	want, err := dsp.Listen(r, dsp.Bass)
	require.NoError(t, err)
	require.Len(t, want.Notes, 4)
	assert.Equal(t, want, a.Heard())
}

func TestWhoCannotKeepUpHearsNothingAlong(t *testing.T) {
	a := &Along{rate: rate, waits: make(chan []float32), ended: make(chan struct{})} // nobody takes what waits
	a.Write(make([]float32, 2*rate))
	a.Write(make([]float32, 2*rate))
	a.End()
	close(a.ended)
	assert.Nil(t, a.Heard())
	assert.Nil(t, (*Along)(nil).Heard())
}
