package dsp

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// framesBetween gives the frames from one time to another, s.
func framesBetween(frames []Frame, from, to float64) []Frame {
	var out []Frame
	for _, f := range frames {
		if f.Time >= from && f.Time <= to {
			out = append(out, f)
		}
	}
	return out
}

// deviation compares frames with the true frequency at their time: the root mean
// square and the greatest error in cents, and the share that are off by more than
// half a semitone or have no pitch.
func deviation(frames []Frame, truth func(t float64) float64) (rms, worst, gross float64) {
	n := 0.0
	for _, f := range frames {
		c := math.Abs(centsOff(f.Freq, truth(f.Time)))
		if !f.Voiced || c > 50 {
			gross++
			continue
		}
		rms, worst, n = rms+c*c, math.Max(worst, c), n+1
	}
	return math.Sqrt(rms / n), worst, gross / float64(len(frames))
}

// steadyTone tracks half a second of a tone and gives the frames of its middle.
func steadyTone(t testing.TB, hz float64, partials []float64, rate int) []Frame {
	x := Tone{Freq: Steady(hz), Partials: partials, Seconds: 0.5, Rate: rate}.Samples()
	return framesBetween(track(t, x, rate), 0.15, 0.35)
}

func TestATelephoneAndAStudioHearTheSamePitch(t *testing.T) {
	accuracy(t)
	for rate, within := range map[int]float64{8000: 0.25, 22050: 0.1, 44100: 0.1, 48000: 0.1, 96000: 0.1} {
		for name, partials := range map[string][]float64{"sine": Sine, "sawtooth": Sawtooth} {
			for midi := 23.0; midi <= 67; midi += 5.3 {
				_, worst, gross := deviation(steadyTone(t, Hz(midi), partials, rate), Steady(Hz(midi)))
				assert.Zero(t, gross, "%s at %d Hz, MIDI %.1f", name, rate, midi)
				assert.LessOrEqual(t, worst, within, "%s at %d Hz, MIDI %.1f, cents", name, rate, midi)
			}
		}
	}
}

func TestAWeakOrAbsentFundamentalIsHeardAllTheSame(t *testing.T) {
	accuracy(t)
	for _, rate := range []int{8000, 22050, 44100, 48000, 96000} {
		within := 0.1
		if rate == 8000 {
			within = 0.25 // a period of G4 is 20 samples
		}
		for name, db := range map[string]float64{"25 dB under the octave": 25, "40 dB under the octave": 40, "absent": math.Inf(1)} {
			for midi := 23.2; midi <= 67; midi += 5.3 {
				_, worst, gross := deviation(steadyTone(t, Hz(midi), phone(db), rate), Steady(Hz(midi)))
				assert.Zero(t, gross, "%s at %d Hz, MIDI %.1f", name, rate, midi)
				assert.LessOrEqual(t, worst, within, "%s at %d Hz, MIDI %.1f, cents", name, rate, midi)
			}
		}
	}
}

func TestTheMeanOfAVibratoIsItsPitch(t *testing.T) {
	accuracy(t)
	for _, midi := range []float64{29, 38, 50} {
		for _, extent := range []float64{15, 35} {
			truth := Vibrato(Hz(midi), extent, 5)
			x := Tone{Freq: truth, Partials: phone(30), Seconds: 1.6, Rate: 44100}.Samples()
			frames := framesBetween(track(t, x, 44100), 0.3, 1.295) // five whole swings
			mean := 0.0
			for _, f := range frames {
				require.True(t, f.Voiced)
				mean += centsOff(f.Freq, Hz(midi)) / float64(len(frames))
			}
			assert.InDelta(t, 0, mean, 0.5, "MIDI %v, %v cents each way", midi, extent)
			_, worst, _ := deviation(frames, truth)
			// A frame averages over up to 75 ms of a swing of 200: it cuts the crests.
			assert.Less(t, worst, extent/3, "MIDI %v, %v cents each way", midi, extent)
		}
	}
}

func TestAGlideIsHeardWhenItHappens(t *testing.T) {
	accuracy(t)
	for _, to := range []float64{41, 35} {
		truth := Glide(Hz(38), Hz(to), 0.4, 0.9)
		x := Tone{Freq: truth, Partials: Sawtooth, Seconds: 1.3, Rate: 48000}.Samples()
		frames := framesBetween(track(t, x, 48000), 0.5, 0.8)
		late := 0.0
		for _, f := range frames {
			require.True(t, f.Voiced)
			behind := centsOff(truth(f.Time), f.Freq) / (100 * (to - 38) / 0.5)
			late += behind / float64(len(frames))
		}
		assert.InDelta(t, 0, late, 0.002, "to MIDI %v, s", to)
	}
}

func TestAStandingOffsetOfTheMicrophoneIsNoPitch(t *testing.T) {
	accuracy(t)
	x := Tone{Freq: Steady(Hz(31)), Partials: phone(30), Seconds: 1, Rate: 44100}.Samples()
	for i := range x {
		x[i] = 0.5*x[i] + 0.4
	}
	_, worst, gross := deviation(framesBetween(track(t, x, 44100), 0.3, 0.8), Steady(Hz(31)))
	assert.Zero(t, gross)
	assert.LessOrEqual(t, worst, 0.1)

	for i := range x {
		x[i] = 0.4
	}
	for _, f := range framesBetween(track(t, x, 44100), 0.3, 0.8) {
		assert.False(t, f.Voiced, "%+v", f)
	}
}

func TestSomebodyWalkingOnTheStageIsNoPitch(t *testing.T) {
	accuracy(t)
	for _, midi := range []float64{28, 33, 43} {
		x := Tone{Freq: Steady(Hz(midi)), Partials: phone(20), Seconds: 1, Rate: 44100}.Samples()
		level := math.Sqrt2 * math.Pow(10, (rmsLevel(x)+12)/20) // four times as loud as the note
		addAt(x, Tone{Freq: Steady(12), Partials: []float64{level}, Seconds: 1, Rate: 44100}.Samples(), 0, 44100)
		off, _, gross := deviation(framesBetween(track(t, x, 44100), 0.2, 0.8), Steady(Hz(midi)))
		assert.Zero(t, gross, "MIDI %v", midi)
		assert.Less(t, off, 0.5, "MIDI %v, cents", midi)
	}
}

func TestClippingMovesNoPitch(t *testing.T) {
	accuracy(t)
	x := Tone{Freq: Steady(Hz(33)), Partials: phone(30), Seconds: 1, Rate: 44100}.Samples()
	for i, v := range x {
		x[i] = max(-1, min(1, 6*v))
	}
	_, worst, gross := deviation(framesBetween(track(t, x, 44100), 0.2, 0.8), Steady(Hz(33)))
	assert.Zero(t, gross)
	assert.LessOrEqual(t, worst, 0.1)
}

func TestHumUnderANoteHardlyMovesIt(t *testing.T) {
	accuracy(t)
	for _, hz := range []float64{50, 60} {
		for midi := 28.0; midi <= 43; midi += 3 {
			x := Tone{Freq: Steady(Hz(midi)), Partials: phone(20), Seconds: 1, Rate: 44100}.Samples()
			level := math.Pow(10, (rmsLevel(x)-30)/20) // 30 dB below the note
			addAt(x, Tone{Freq: Steady(hz), Partials: []float64{level, level / 2, level / 2}, Seconds: 1, Rate: 44100}.Samples(), 0, 44100)
			off, _, gross := deviation(framesBetween(track(t, x, 44100), 0.2, 0.8), Steady(Hz(midi)))
			assert.Zero(t, gross, "%v Hz under MIDI %v", hz, midi)
			assert.Less(t, off, 2.0, "%v Hz under MIDI %v, cents", hz, midi)
		}
	}
}

func TestSilenceHasNoPitch(t *testing.T) {
	for _, f := range track(t, make([]float32, 44100), 44100) {
		assert.False(t, f.Voiced)
		assert.Equal(t, silenceLevel+0.0, f.Level)
	}
}

func TestNoiseHasNoPitch(t *testing.T) {
	accuracy(t)
	x := make([]float32, 5*44100)
	Noise(x, -20, 3)
	voiced := 0
	frames := track(t, x, 44100)
	for _, f := range frames {
		if f.Voiced && f.Aperiodicity < pitchedMost {
			voiced++
		}
	}
	assert.Less(t, float64(voiced)/float64(len(frames)), 0.02)
}

func TestTheLevelIsTheRootMeanSquareOfWhatIsInTheBand(t *testing.T) {
	accuracy(t)
	for midi := 43.0; midi <= 67; midi += 12 { // above the tilt
		x := Tone{Freq: Steady(Hz(midi)), Partials: Sine, Seconds: 1, Rate: 44100}.Samples()
		tilt := 10 * math.Log10(1+math.Pow(tiltCorner/Hz(midi), 2))
		for _, f := range framesBetween(track(t, x, 44100), 0.2, 0.8) {
			assert.InDelta(t, rmsLevel(x)-tilt, f.Level, 1.2, "MIDI %v", midi)
		}
	}
}

// cramerRao is the least root-mean-square error in cents with which any method can
// tell the frequency of a sum of harmonics of hz in white noise, from so many
// seconds of it: the Cramér–Rao bound var(ω) ≥ 24σ²/(ΣA²k²·N(N²-1)) (S. Kay,
// Fundamentals of Statistical Signal Processing I, 1993, with ΣA²k² in place of
// A² for a harmonic tone as in M. Christensen and A. Jakobsson, Multi-Pitch
// Estimation, 2009; from memory).
func cramerRao(hz float64, partials []float64, snr, seconds float64, rate int) float64 {
	power, weight := 0.0, 0.0
	for i, a := range partials {
		k := float64(i + 1)
		power += a * a / 2
		weight += a * a * k * k
	}
	n := seconds * float64(rate)
	omega := math.Sqrt(24 * power * math.Pow(10, -snr/10) / (weight * n * (n*n - 1)))
	return omega * float64(rate) / (2 * math.Pi * hz) * 1200 / math.Ln2
}

func TestTheBoundIsThePublishedOne(t *testing.T) {
	// Computed by others from the same formula: 20 dB at 48 kHz.
	assert.InDelta(t, 0.33, cramerRao(Hz(28), Sine, 20, 0.1, 48000), 0.005, "a tenth of a second of E1")
	assert.InDelta(t, 0.95, cramerRao(Hz(28), Sine, 20, 0.05, 48000), 0.01)
	assert.InDelta(t, 0.14, cramerRao(Hz(43), Sine, 20, 0.1, 48000), 0.005)
}

// A frame looks at 50 to 85 ms of sound. No method comes below the bound for
// that; ours stays within a small factor of it, and gets no octave wrong.
func TestNoiseCostsLittleMoreThanItMust(t *testing.T) {
	accuracy(t)
	const shortest, longest = 0.05, 0.1 // s
	for name, partials := range map[string][]float64{"sine": Sine, "sawtooth": Sawtooth, "weak fundamental": phone(30)} {
		for _, midi := range []float64{28, 33, 43, 55} {
			before := math.Inf(1)
			for _, snr := range []float64{10, 20, 40} {
				x := Tone{Freq: Steady(Hz(midi)), Partials: partials, Seconds: 2, Rate: 44100}.Samples()
				Noise(x, rmsLevel(x)-snr, 7)
				off, _, gross := deviation(framesBetween(track(t, x, 44100), 0.2, 1.8), Steady(Hz(midi)))
				t.Logf("%s, MIDI %v, %v dB: %.3f cents; bound %.3f for %v s, %.3f for %v s", name, midi, snr, off,
					cramerRao(Hz(midi), partials, snr, shortest, 44100), shortest, cramerRao(Hz(midi), partials, snr, longest, 44100), longest)
				assert.Zero(t, gross, "%s, MIDI %v, %v dB", name, midi, snr)
				assert.Greater(t, off, cramerRao(Hz(midi), partials, snr, longest, 44100), "%s, MIDI %v, %v dB", name, midi, snr)
				if snr >= 20 {
					assert.Less(t, off, 3*cramerRao(Hz(midi), partials, snr, shortest, 44100), "%s, MIDI %v, %v dB", name, midi, snr)
				}
				assert.Less(t, off, before)
				before = off
			}
		}
	}
}
