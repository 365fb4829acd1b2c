package voice

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"endpin/dsp"
)

// left is how much of a drone is left after so many seconds, dB, of a sound in
// which it was learned for a second. The clocks of loudspeaker and microphone
// drift apart by so many millionths.
func left(t *testing.T, drift float64, besides func(x []float32), from, to float64) float64 {
	const rate = 44100
	hz := DroneHz(31, 2, 440)
	x := make([]float32, 30*rate)
	Drone(rate, hz*(1+drift*1e-6)).Play(x, 0)
	before := power(x[int(from*rate):int(to*rate)])
	other := make([]float32, len(x))
	if besides != nil {
		besides(other)
		for i := range x {
			x[i] += other[i]
		}
	}
	out := drain(t, NewWithout(&dsp.Samples{SampleRate: rate, Data: x}, hz, 1))
	for i := range out {
		out[i] -= other[i]
	}
	return 10 * math.Log10(power(out[int(from*rate):int(to*rate)])/before)
}

func power(x []float32) float64 {
	sum := 0.0
	for _, v := range x {
		sum += float64(v) * float64(v)
	}
	return sum/float64(len(x)) + 1e-20
}

func TestADroneStaysOutWhereTwoSoundCardsDriftApart(t *testing.T) {
	for drift, most := range map[float64]float64{0: -80, 10: -50, 50: -50, -100: -50} {
		l := left(t, drift, nil, 20, 29)
		t.Logf("%4.0f ppm: %.0f dB of it are left", drift, l)
		assert.Less(t, l, most)
	}
}

// Four seconds of a note on the drone's own pitch, an octave below, and five times
// as loud, and then silence.
func TestANoteOfTheDronesPitchIsNotTakenForIt(t *testing.T) {
	l := left(t, 0, func(x []float32) {
		tone := dsp.Tone{Freq: dsp.Steady(dsp.Hz(43)), Partials: dsp.Sawtooth, Seconds: 4, Rate: 44100}.Samples()
		copy(x[10*44100:], tone)
	}, 14.1, 15)
	t.Logf("%.0f dB of it are left", l)
	assert.Less(t, l, -10.0)
}

// The loudspeaker is pulled out after ten seconds and plugged in again four later,
// anywhere in the drone's period. What is left is compared with the drone itself.
func TestADroneThatStopsIsNotPutInAndTakenOutAgainWhenItComesBack(t *testing.T) {
	const rate = 44100
	hz := DroneHz(31, 2, 440)
	for name, besides := range map[string]func(x []float32){
		"alone": nil,
		"under a bass": func(x []float32) { // none of its notes is the drone's
			for i := range 13 {
				tone := dsp.Tone{Freq: dsp.Steady(dsp.Hz([]float64{33, 38, 41}[i%3])), Partials: dsp.Sawtooth, Seconds: 0.9, Rate: rate}.Samples()
				copy(x[(4+2*i)*rate+rate/3:], tone)
			}
		},
	} {
		t.Run(name, func(t *testing.T) {
			x := make([]float32, 30*rate)
			Drone(rate, hz).Play(x[:10*rate], 0)
			Drone(rate, hz).Play(x[14*rate:], 3*rate+55)
			loud := power(x[2*rate : 9*rate])
			other := make([]float32, len(x))
			if besides != nil {
				besides(other)
				for i := range x {
					x[i] += other[i] * 0.8
				}
			}
			out := drain(t, NewWithout(&dsp.Samples{SampleRate: rate, Data: x}, hz, 1))
			for i := range out {
				out[i] -= other[i] * 0.8
			}
			left := func(from, to float64) float64 {
				return 10 * math.Log10(power(out[int(from*rate):int(to*rate)])/loud)
			}
			t.Logf("left: before %.0f, stopped %.0f %.0f %.0f, back %.0f %.0f, later %.0f dB",
				left(2, 10), left(10, 10.35), left(10.35, 10.5), left(10.5, 14), left(14, 14.5), left(14.5, 16), left(16, 29))
			assert.Less(t, left(10.5, 14), -30.0, "none is put in")
			assert.Less(t, left(15, 29), -15.0, "it is taken out again")
		})
	}
}
