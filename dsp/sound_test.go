package dsp

import (
	"math"
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
	swell       func(t float64) float64 // a factor on the amplitude over time, or nil
}

// bowed is a bow stroke: it takes 60 ms to speak and 50 ms to stop, as published
// for bowed strings (50–90 ms: K. Guettler and A. Askenfelt, J. Acoust. Soc. Am.
// 101, 1997; from memory).
func bowed(at, seconds, midi float64) stroke {
	return stroke{at: at, seconds: seconds, freq: Steady(Hz(midi)), partials: Sawtooth, attack: 0.06, release: 0.05, gain: 0.7}
}

// plucked is a plucked string: it speaks at once and falls away by 25 dB a second.
func plucked(at, seconds, midi float64) stroke {
	return stroke{at: at, seconds: seconds, freq: Steady(Hz(midi)), partials: Sawtooth, attack: 0.004, release: 0.03, decay: 25, gain: 0.9}
}

// sound renders strokes into one take.
func sound(rate int, seconds float64, strokes ...stroke) []float32 {
	out := make([]float32, int(seconds*float64(rate)))
	for _, s := range strokes {
		first := int(s.at * float64(rate))
		for i, v := range (Tone{Freq: s.freq, Partials: s.partials, Seconds: s.seconds + s.release, Rate: rate}).Samples() {
			if first+i < len(out) {
				out[first+i] += v * float32(s.amplitude(float64(i)/float64(rate)))
			}
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
	if s.swell != nil {
		a *= s.swell(t)
	}
	return a
}

// ease goes smoothly from 0 at 0 to 1 at 1.
func ease(u float64) float64 { return (1 - math.Cos(math.Pi*u)) / 2 }
