package dsp

import (
	"math"
	"math/rand"
)

// Tone is synthesised sound for fixtures: a sum of harmonics at a frequency
// that may move.
type Tone struct {
	Freq     func(t float64) float64 // Hz at a time in s
	Partials []float64               // amplitudes of harmonics 1, 2, …; those above 0.45 of the rate are left out
	Seconds  float64
	Rate     int
}

// Samples renders the tone at its partials' amplitudes. Phase is integrated
// over the moving frequency, so vibrato and glides have the pitch they say.
func (t Tone) Samples() []float32 {
	out := make([]float32, int(t.Seconds*float64(t.Rate)))
	phase := 0.0
	for i := range out {
		f := t.Freq(float64(i) / float64(t.Rate))
		v := 0.0
		for h, a := range t.Partials {
			if a != 0 && f*float64(h+1) < 0.45*float64(t.Rate) {
				v += a * math.Sin(float64(h+1)*phase)
			}
		}
		out[i] = float32(v)
		phase = math.Mod(phase+2*math.Pi*f/float64(t.Rate), 2*math.Pi)
	}
	return out
}

// Steady is a frequency that does not move.
func Steady(hz float64) func(float64) float64 { return func(float64) float64 { return hz } }

// Vibrato swings about hz by extent cents each way, rate times a second.
func Vibrato(hz, extent, rate float64) func(float64) float64 {
	return func(t float64) float64 { return hz * Cents(extent*math.Sin(2*math.Pi*rate*t)) }
}

// Glide moves from one frequency to another between two times, evenly in cents.
func Glide(from, to, start, end float64) func(float64) float64 {
	return func(t float64) float64 {
		u := math.Min(1, math.Max(0, (t-start)/(end-start)))
		return from * math.Pow(to/from, u)
	}
}

// Sine and Sawtooth are spectra for Tone: a single partial, and partials that
// fall as 1/n up to 30.
var (
	Sine     = []float64{0.5}
	Sawtooth = func() []float64 {
		a := make([]float64, 30)
		for i := range a {
			a[i] = 0.3 / float64(i+1)
		}
		return a
	}()
)

// Noise adds Gaussian white noise of a given RMS (dB re full scale), seeded.
func Noise(samples []float32, db float64, seed int64) {
	rng, rms := rand.New(rand.NewSource(seed)), math.Pow(10, db/20)
	for i := range samples {
		samples[i] += float32(rms * rng.NormFloat64())
	}
}
