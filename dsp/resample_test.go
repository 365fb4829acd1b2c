package dsp

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// A sine is known at every moment, so the truth is the sine itself.
func TestASineIsTheSameSineAtAnotherRate(t *testing.T) {
	for _, rates := range [][2]int{{44100, 48000}, {48000, 44100}, {8000, 48000}, {96000, 44100}, {44100, 16000}} {
		for _, hz := range []float64{41.2, 98, 440, 2500} {
			in := make([]float32, rates[0])
			for i := range in {
				in[i] = float32(0.5 * math.Sin(2*math.Pi*hz*float64(i)/float64(rates[0])))
			}
			out := Resample(in, rates[0], rates[1])
			assert.InDelta(t, rates[1], len(out), 1)
			worst := 0.0
			for i := len(out) / 10; i < len(out)*9/10; i++ {
				worst = math.Max(worst, math.Abs(float64(out[i])-0.5*math.Sin(2*math.Pi*hz*float64(i)/float64(rates[1]))))
			}
			assert.Less(t, worst, 0.0005, "%v at %g Hz: 60 dB below it", rates, hz)
		}
	}
}

func TestWhatTheLowerRateCannotCarryIsTakenOff(t *testing.T) {
	in := make([]float32, 48000)
	for i := range in {
		in[i] = float32(math.Sin(2 * math.Pi * 11000 * float64(i) / 48000))
	}
	for i, v := range Resample(in, 48000, 16000)[2000:14000] {
		if !assert.Less(t, math.Abs(float64(v)), 0.002, "%d", i) {
			break
		}
	}
}

func TestAStreamKeepsItsSineHoweverItComes(t *testing.T) {
	const from, to, hz = 44100, 8000, 220
	in := make([]float32, from)
	for i := range in {
		in[i] = float32(0.5 * math.Sin(2*math.Pi*hz*float64(i)/from))
	}
	var whole, parts []float32
	NewResampler(from, to).Push(in, func(x float32) { whole = append(whole, x) })
	r := NewResampler(from, to)
	for at, n := 0, 1; at < len(in); at, n = at+n, n%997+1 {
		r.Push(in[at:min(len(in), at+n)], func(x float32) { parts = append(parts, x) })
	}
	assert.Equal(t, whole, parts)
	assert.InDelta(t, to, len(whole), 20)
	for i := 100; i < len(whole); i++ {
		if !assert.InDelta(t, 0.5*math.Sin(2*math.Pi*hz*float64(i)/to), whole[i], 0.002, "%d", i) {
			break
		}
	}
}
