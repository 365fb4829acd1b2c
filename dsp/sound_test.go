package dsp

import (
	"math"
	"math/rand"
	"testing"

	"github.com/stretchr/testify/require"
)

// stroke is one note of a synthesised take.
type stroke struct {
	at, seconds float64
	freq        func(t float64) float64 // Hz at a time from the stroke's beginning
	partials    []float64
	attack      float64 // s from nothing to full
	release     float64 // s from full to nothing, after seconds
	decay       float64 // dB a second that it dies away by itself
	gain        float64
}

// bowed is a bow stroke: it takes 60 ms to speak and 50 ms to stop (bowed strings
// take 50 to 90 ms: K. Guettler and A. Askenfelt, J. Acoust. Soc. Am. 101, 1997;
// from memory).
func bowed(at, seconds, midi float64) stroke {
	return stroke{at: at, seconds: seconds, freq: Steady(Hz(midi)), partials: Sawtooth, attack: 0.06, release: 0.05, gain: 0.7}
}

// plucked is a plucked string: it speaks at once and dies away by 25 dB a second.
func plucked(at, seconds, midi float64) stroke {
	return stroke{at: at, seconds: seconds, freq: Steady(Hz(midi)), partials: Sawtooth, attack: 0.004, release: 0.03, decay: 25, gain: 0.9}
}

// row is one stroke after another on each pitch given, a step apart, played by
// how for a share of the step.
func row(how func(at, seconds, midi float64) stroke, step, share float64, pitches ...float64) []stroke {
	var out []stroke
	for i, midi := range pitches {
		out = append(out, how(0.5+float64(i)*step, share*step, midi))
	}
	return out
}

// heardAt is when a stroke's amplitude comes to a tenth of its full one.
func (s stroke) heardAt() float64 { return s.at + s.attack*math.Acos(0.8)/math.Pi }

// sound renders strokes into one take. Every stroke's partials begin at other
// phases, as they reach a microphone in a room by many ways.
func sound(rate int, seconds float64, strokes ...stroke) []float32 {
	out := make([]float32, int(seconds*float64(rate)))
	rng := rand.New(rand.NewSource(1))
	for _, s := range strokes {
		waves := make([]complex128, len(s.partials))
		for h, a := range s.partials {
			sin, cos := math.Sincos(2 * math.Pi * rng.Float64())
			waves[h] = complex(a*cos, a*sin)
		}
		first, phase := int(s.at*float64(rate)), 0.0
		for i := first; i < len(out); i++ {
			t := float64(i-first) / float64(rate)
			if t >= s.seconds+s.release {
				break
			}
			f := s.freq(t)
			sin, cos := math.Sincos(phase)
			step := complex(cos, sin)
			turn, v := step, 0.0 // turn is exp(i·h·phase)
			for h := 0; h < len(waves) && f*float64(h+1) < 0.45*float64(rate); h++ {
				v += real(waves[h])*imag(turn) + imag(waves[h])*real(turn)
				turn *= step
			}
			out[i] += float32(v * s.amplitude(t))
			phase = math.Mod(phase+2*math.Pi*f/float64(rate), 2*math.Pi)
		}
	}
	return out
}

func (s stroke) amplitude(t float64) float64 {
	a := s.gain * math.Pow(10, -s.decay*t/20)
	if t < s.attack {
		a *= ease(t / s.attack)
	}
	if t > s.seconds {
		a *= ease(1 - (t-s.seconds)/s.release)
	}
	return a
}

// ease goes smoothly from 0 at 0 to 1 at 1.
func ease(u float64) float64 { return (1 - math.Cos(math.Pi*u)) / 2 }

// phone is the spectrum of a sawtooth as a phone records it: the fundamental lies
// that many dB below the second harmonic.
func phone(db float64) []float64 {
	p := append([]float64(nil), Sawtooth...)
	p[0] = p[1] * math.Pow(10, -db/20)
	return p
}

// addAt adds one sound to another from a time on.
func addAt(into, x []float32, at float64, rate int) {
	for i, v := range x {
		into[int(at*float64(rate))+i] += v
	}
}

// rmsLevel of a sound, dB re full scale.
func rmsLevel(x []float32) float64 {
	sum := 0.0
	for _, v := range x {
		sum += float64(v) * float64(v)
	}
	return decibels(sum / float64(len(x)))
}

func hear(t testing.TB, x []float32, rate int) *Heard {
	t.Helper()
	h, err := Listen(&Samples{SampleRate: rate, Data: x}, Bass)
	require.NoError(t, err)
	for i := 1; i < len(h.Onsets); i++ {
		require.Less(t, h.Onsets[i-1].Time, h.Onsets[i].Time, "one note begins after the other")
	}
	return h
}

func centsOff(hz, truth float64) float64 { return 1200 * math.Log2(hz/truth) }

// accuracy leaves a test out of a short run, as with the race detector: tests of
// accuracy take long and have one goroutine.
func accuracy(t *testing.T) {
	t.Helper()
	if testing.Short() {
		t.Skip("a test of accuracy, and this is a short run")
	}
}
