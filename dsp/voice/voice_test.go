package voice

import (
	"math"
	"testing"

	"github.com/mjibson/go-dsp/fft"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp"
)

// played is all that a player gives, asked in uneven blocks.
func played(p interface {
	Play(buf []float32, from int64) bool
}, samples int) []float32 {
	out := make([]float32, samples)
	for at, n := 0, 1; at < samples; at, n = at+n, 1+(n*7)%997 {
		n = min(n, samples-at)
		if !p.Play(out[at:at+n], int64(at)) {
			break
		}
	}
	return out
}

// share is how much of a sound's power lies between two frequencies.
func share(x []float32, rate int, low, high float64) float64 {
	n := 1
	for n < len(x) {
		n *= 2
	}
	in := make([]complex128, n)
	for i, v := range x {
		in[i] = complex(float64(v), 0)
	}
	all, part := 0.0, 0.0
	for k, z := range fft.FFT(in)[:n/2] {
		p := real(z)*real(z) + imag(z)*imag(z)
		all += p
		if f := float64(k) * float64(rate) / float64(n); f >= low && f < high {
			part += p
		}
	}
	return part / all
}

func TestAClickLiesAboveAllThatTheListeningLooksAt(t *testing.T) {
	for _, rate := range []int{44100, 48000} {
		for _, down := range []bool{true, false} {
			below := 10 * math.Log10(share(Click(rate, down), rate, 0, 8000))
			t.Logf("at %d Hz, downbeat %v: %.0f dB of the click below 8 kHz", rate, down, below)
			assert.Less(t, below, -35.0)
		}
	}
}

func TestADroneIsInTuneAndGoesRoundWithoutASeam(t *testing.T) {
	for _, rate := range []int{44100, 48000} {
		for _, midi := range []int{33, 38, 43} {
			hz := DroneHz(midi, 1, 442)
			x := played(Drone(rate, hz), 9*rate)
			frames, err := dsp.Track(&dsp.Samples{SampleRate: rate, Data: x}, dsp.Config{Low: 50, High: 1000, Lag: 60})
			require.NoError(t, err)
			voiced := 0
			for _, f := range frames {
				if f.Time > 0.5 && f.Time < 8.9 {
					require.True(t, f.Voiced, "at %.2f s", f.Time)
					require.InDelta(t, 0, 1200*math.Log2(f.Freq/hz), 0.1, "at %.2f s", f.Time)
					require.Less(t, f.Aperiodicity, 0.01, "a seam at %.2f s", f.Time)
					voiced++
				}
			}
			assert.Greater(t, voiced, 800)
		}
	}
}

func TestTheLineSoundsItsNotes(t *testing.T) {
	line := []Note{{0.2, 0.6, 28, false}, {1, 0.6, 33, false}, {1.8, 0.5, 38, false}, {2.3, 0.5, 40, true}, {3.2, 0.8, 43, false}}
	x := played(Line(44100, line, 440), 44100*9/2)
	frames, err := dsp.Track(&dsp.Samples{SampleRate: 44100, Data: x}, dsp.Bass)
	require.NoError(t, err)
	for _, n := range line {
		for _, f := range frames {
			if f.Time > n.Onset+0.12 && f.Time < n.Onset+n.Length-0.08 {
				require.True(t, f.Voiced, "at %.2f s", f.Time)
				require.InDelta(t, n.MIDI, dsp.MIDI(f.Freq), 0.01, "at %.2f s", f.Time)
			}
			if f.Time > 2.95 && f.Time < 3.1 {
				require.False(t, f.Voiced, "the rest at %.2f s", f.Time)
			}
		}
	}
	for i, v := range x {
		require.LessOrEqual(t, math.Abs(float64(v)), 0.99, "sample %d", i)
	}
}

func TestASmallLoudspeakerCarriesTheLine(t *testing.T) {
	x := Line(44100, []Note{{0, 1, 28, false}}, 440)
	assert.Greater(t, share(x, 44100, 150, 5000), 0.6, "of the power of a low E")
}

func TestTheNumbersOfACountInAreShortEnoughForIt(t *testing.T) {
	for n := 1; n <= MostCounted; n++ {
		x, beat, err := Count(48000, n)
		require.NoError(t, err)
		assert.Less(t, len(x), 48000*9/20, "%d at 133 a minute", n)
		assert.Less(t, beat, 48000/4)
		peak := 0.0
		for _, v := range x {
			peak = math.Max(peak, math.Abs(float64(v)))
		}
		assert.InDelta(t, 0.42, peak, 0.08)
	}
	_, _, err := Count(48000, 9)
	assert.ErrorContains(t, err, "1 to 8")
}
