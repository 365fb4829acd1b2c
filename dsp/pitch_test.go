package dsp

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

func track(t testing.TB, samples []float32, rate int) []Frame {
	var frames []Frame
	tr := newTracker(Bass, rate, func(f Frame) { frames = append(frames, f) })
	for len(samples) > 0 {
		n := min(len(samples), 700)
		tr.push(samples[:n])
		samples = samples[n:]
	}
	tr.finish()
	return frames
}

func TestSinesAndSawtoothsAreHeardWithinATenthOfACent(t *testing.T) {
	accuracy(t)
	for _, rate := range []int{44100, 48000} {
		for name, spectrum := range map[string][]float64{"sine": Sine, "sawtooth": Sawtooth} {
			worst := 0.0
			for midi := 23; midi <= 67; midi++ {
				for _, off := range []float64{-37, 0, 12.5} {
					f := Hz(float64(midi) + off/100)
					x := Tone{Freq: Steady(f), Partials: spectrum, Seconds: 0.6, Rate: rate}.Samples()
					for _, fr := range track(t, x, rate) {
						if fr.Time < 0.15 || fr.Time > 0.45 {
							continue
						}
						require.True(t, fr.Voiced, "%s %d %v", name, midi, off)
						worst = math.Max(worst, math.Abs(1200*math.Log2(fr.Freq/f)))
					}
				}
			}
			require.LessOrEqual(t, worst, 0.1, "%s at %d Hz, cents", name, rate)
		}
	}
}

func BenchmarkTrack(b *testing.B) {
	x := Tone{Freq: Steady(98), Partials: Sawtooth, Seconds: 10, Rate: 44100}.Samples()
	b.ResetTimer()
	b.ReportAllocs()
	for i := 0; i < b.N; i++ {
		track(b, x, 44100)
	}
}
