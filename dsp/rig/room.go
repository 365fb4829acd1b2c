package rig

import (
	"math"
	"math/rand"
	"sort"
)

// A take changes as it would in a room and on its way through a phone. Every
// change is seeded and leaves the truth right. Levels are dB re full scale.

// WhiteNoise adds noise with an RMS level of db.
func (t *Take) WhiteNoise(db float64, seed int64) {
	rng := rand.New(rand.NewSource(seed))
	rms := math.Pow(10, db/20)
	for i := range t.Samples {
		t.Samples[i] += float32(rms * rng.NormFloat64())
	}
}

// RoomNoise adds noise that falls by 3 dB an octave, as a room's does, with an
// RMS level of db. (Paul Kellet's filter for pink noise, from memory.)
func (t *Take) RoomNoise(db float64, seed int64) {
	rng := rand.New(rand.NewSource(seed))
	noise := make([]float64, len(t.Samples))
	var b0, b1, b2, power float64
	for i := range noise {
		white := rng.NormFloat64()
		b0 = 0.99765*b0 + white*0.0990460
		b1 = 0.96300*b1 + white*0.2965164
		b2 = 0.57000*b2 + white*1.0526913
		noise[i] = b0 + b1 + b2 + white*0.1848
		power += noise[i] * noise[i]
	}
	gain := math.Pow(10, db/20) / math.Sqrt(power/float64(len(noise)))
	for i, s := range noise {
		t.Samples[i] += float32(gain * s)
	}
}

// Loudness is the RMS level of the take, dB.
func (t *Take) Loudness() float64 {
	power := 0.0
	for _, s := range t.Samples {
		power += float64(s) * float64(s)
	}
	return 10 * math.Log10(power/float64(len(t.Samples)))
}

// Hum adds mains hum of hz (50 or 60) with its second and third harmonics.
func (t *Take) Hum(hz, db float64) {
	level := math.Sqrt2 * math.Pow(10, db/20)
	for i := range t.Samples {
		at := 2 * math.Pi * hz * float64(i) / Rate
		t.Samples[i] += float32(level * (math.Sin(at) + 0.4*math.Sin(2*at+1) + 0.25*math.Sin(3*at+2)) / 1.11)
	}
}

// Offset adds a constant: a phone's DC.
func (t *Take) Offset(level float64) {
	for i := range t.Samples {
		t.Samples[i] += float32(level)
	}
}

// Clicks adds a metronome's tick at every moment (seconds): a damped 1.8 kHz
// ring of 30 ms with a peak of db.
func (t *Take) Clicks(db float64, moments ...float64) {
	level := math.Pow(10, db/20)
	for _, moment := range moments {
		from := int(moment * Rate)
		for i := range int(0.03 * Rate) {
			if from+i < 0 || from+i >= len(t.Samples) {
				continue
			}
			at := float64(i) / Rate
			t.Samples[from+i] += float32(level * math.Exp(-at/0.006) * math.Sin(2*math.Pi*1800*at))
		}
	}
}

// Metronome ticks on every quarter note of the plan's tempo, from beat 0.
func (t *Take) Metronome(db, firstBeatS float64) {
	var moments []float64
	for at := firstBeatS; at < t.Truth.LengthS; at += 60 / t.Truth.TempoQPM {
		moments = append(moments, at)
	}
	t.Clicks(db, moments...)
}

// Clip cuts everything beyond level (0..1), and then scales it to full scale,
// as an input driven too hard does.
func (t *Take) Clip(level float64) {
	for i, s := range t.Samples {
		t.Samples[i] = float32(math.Max(-level, math.Min(level, float64(s))) / level)
	}
}

// BandLimit takes away what lies above hz, 24 dB an octave (two Butterworth
// second-order sections; Bristow-Johnson's cookbook formulas).
func (t *Take) BandLimit(hz float64) {
	for _, q := range []float64{0.5412, 1.3066} {
		t.filter(lowPass(hz, q))
	}
}

// WeakBass takes away what lies below hz, 12 dB an octave, as a phone's
// microphone does.
func (t *Take) WeakBass(hz float64) { t.filter(highPass(hz, math.Sqrt2/2)) }

// biquad holds b0 b1 b2 a1 a2, a0 being 1.
type biquad [5]float64

func lowPass(hz, q float64) biquad {
	w := 2 * math.Pi * hz / Rate
	cos, alpha := math.Cos(w), math.Sin(w)/(2*q)
	a0 := 1 + alpha
	return biquad{(1 - cos) / 2 / a0, (1 - cos) / a0, (1 - cos) / 2 / a0, -2 * cos / a0, (1 - alpha) / a0}
}

func highPass(hz, q float64) biquad {
	w := 2 * math.Pi * hz / Rate
	cos, alpha := math.Cos(w), math.Sin(w)/(2*q)
	a0 := 1 + alpha
	return biquad{(1 + cos) / 2 / a0, -(1 + cos) / a0, (1 + cos) / 2 / a0, -2 * cos / a0, (1 - alpha) / a0}
}

func (t *Take) filter(c biquad) {
	var x1, x2, y1, y2 float64
	for i, s := range t.Samples {
		x := float64(s)
		y := c[0]*x + c[1]*x1 + c[2]*x2 - c[3]*y1 - c[4]*y2
		x1, x2, y1, y2 = x, x1, y, y1
		t.Samples[i] = float32(y)
	}
}

// Reverb puts the take into a room that dies away by 60 dB in seconds; wet is
// the level of the reverberation against the direct sound, in dB. (Schroeder
// 1962: parallel feedback combs, then allpasses.)
func (t *Take) Reverb(seconds, wet float64, seed int64) {
	rng := rand.New(rand.NewSource(seed))
	in := make([]float64, len(t.Samples))
	for i, s := range t.Samples {
		in[i] = float64(s)
	}
	sum := make([]float64, len(in))
	delays := []float64{0.0297, 0.0371, 0.0411, 0.0437, 0.0533, 0.0617}
	for _, d := range delays {
		d *= 0.95 + 0.1*rng.Float64()
		comb(sum, in, int(d*Rate), math.Pow(10, -3*d/seconds))
	}
	for _, d := range []float64{0.0050, 0.0017} {
		sum = allpass(sum, int(d*Rate), 0.7)
	}
	var dry, tail float64
	for i := range in {
		dry += in[i] * in[i]
		tail += sum[i] * sum[i]
	}
	gain := 0.0
	if tail > 0 {
		gain = math.Pow(10, wet/20) * math.Sqrt(dry/tail)
	}
	for i := range in {
		t.Samples[i] = float32(in[i] + gain*sum[i])
	}
	t.keepInside()
}

func comb(sum, in []float64, delay int, feedback float64) {
	ring := make([]float64, delay)
	for i, x := range in {
		y := ring[i%delay]
		sum[i] += y
		ring[i%delay] = x + feedback*y
	}
}

func allpass(in []float64, delay int, gain float64) []float64 {
	out := make([]float64, len(in))
	ring := make([]float64, delay)
	for i, x := range in {
		delayed := ring[i%delay]
		v := x + gain*delayed
		out[i] = delayed - gain*v
		ring[i%delay] = v
	}
	return out
}

// keepInside scales the take down where a change drove it beyond full scale.
func (t *Take) keepInside() {
	var peak float32
	for _, s := range t.Samples {
		peak = max(peak, s, -s)
	}
	if peak > 0.999 {
		scaleToPeak(t.Samples, -0.5)
	}
}

// Before puts other sound (at Rate) and then gap seconds of silence ahead of
// the take.
func (t *Take) Before(sound []float32, gap float64) {
	ahead := len(sound) + int(gap*Rate)
	joined := make([]float32, ahead, ahead+len(t.Samples))
	copy(joined, sound)
	t.Samples = append(joined, t.Samples...)
	t.Truth.shift(float64(ahead) / Rate)
}

// Append puts another take behind this one: two attempts in one file.
func (t *Take) Append(next *Take) {
	by := float64(len(t.Samples)) / Rate
	t.Samples = append(t.Samples, next.Samples...)
	for _, n := range next.Truth.Notes {
		n.OnsetS, n.OffsetS, n.HeardS = n.OnsetS+by, n.OffsetS+by, n.HeardS+by
		t.Truth.Notes = append(t.Truth.Notes, n)
	}
	t.Truth.LengthS = float64(len(t.Samples)) / Rate
	sort.SliceStable(t.Truth.Notes, func(i, j int) bool { return t.Truth.Notes[i].OnsetS < t.Truth.Notes[j].OnsetS })
}
