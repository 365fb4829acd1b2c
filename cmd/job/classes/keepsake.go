package classes

import (
	"math"

	"endpin/dsp"
)

// keptRate is the rate at which sound is kept to be played back, samples a
// second: enough for a bass, whose notes need but a few kHz, and small.
const keptRate = 8000

// stretch is how many samples are kept in one piece, so that nothing is copied as it
// grows: half a minute.
const stretch = keptRate * 30

// mostWhole is of how many samples a source is kept as it came, some two minutes: of most takes no
// more than a few seconds are asked for, and of many none, so those alone are brought to keptRate.
const mostWhole = 6 << 20

// keepsake passes a source on and keeps what went by: as it came while it is short, and of a long
// one all of it at keptRate, 16 bits a sample, a minute in 1 MB.
type keepsake struct {
	dsp.Source
	seconds   [][]float32 // as they came, the last perhaps not whole; nil from where it is long
	resampler *dsp.Resampler
	kept      [][]int16 // in stretches
	count     int       // samples so far, of the one or the other
}

func keep(src dsp.Source) *keepsake { return &keepsake{Source: src} }

func (k *keepsake) Read(buf []float32) (int, error) {
	n, err := k.Source.Read(buf)
	if k.resampler == nil && k.count+n > mostWhole {
		k.shrink()
	}
	if k.resampler != nil {
		k.resampler.Push(buf[:n], k.add)
		return n, err
	}
	for rest := buf[:n]; len(rest) > 0; {
		if k.count%k.Rate() == 0 {
			k.seconds = append(k.seconds, make([]float32, 0, k.Rate()))
		}
		last := &k.seconds[len(k.seconds)-1]
		some := rest[:min(len(rest), k.Rate()-len(*last))]
		*last, rest = append(*last, some...), rest[len(some):]
		k.count += len(some)
	}
	return n, err
}

// shrink goes over to keptRate.
func (k *keepsake) shrink() {
	seconds := k.seconds
	k.seconds, k.count, k.resampler = nil, 0, dsp.NewResampler(k.Rate(), keptRate)
	for _, s := range seconds {
		k.resampler.Push(s, k.add)
	}
}

func (k *keepsake) add(x float32) {
	if k.count%stretch == 0 {
		k.kept = append(k.kept, make([]int16, 0, stretch))
	}
	last := &k.kept[len(k.kept)-1]
	*last = append(*last, int16(math.Round(32767*max(-1, min(1, float64(x))))))
	k.count++
}

// at is the sound from one moment to another, s, at keptRate.
func (k *keepsake) at(from, to float64) (sound []float32) {
	a, b := max(0, int(from*keptRate)), max(0, int(to*keptRate))
	if k.resampler != nil {
		for i := a; i < min(b, k.count); i++ {
			sound = append(sound, float32(k.kept[i/stretch][i%stretch])/32768)
		}
		return sound
	}
	// A second holds a whole number of samples at either rate; one more on each side is for what
	// a sample there takes of its neighbours.
	first := max(0, a/keptRate-1)
	last := min(len(k.seconds), b/keptRate+2)
	r, i := dsp.NewResampler(k.Rate(), keptRate), first*keptRate
	for _, second := range k.seconds[min(first, last):last] {
		r.Push(second, func(x float32) {
			if a <= i && i < b {
				sound = append(sound, x)
			}
			i++
		})
	}
	return sound
}

// between is the sound from one moment to another, s, made as loud as a page's
// sounds are: a phone's loudspeaker has little to give a bass. Its ends are faded,
// so that they do not click.
func (k *keepsake) between(from, to float64) []float32 {
	out := k.at(from, to)
	if len(out) == 0 {
		return nil
	}
	peak := float32(1.0 / 32768)
	for _, v := range out {
		peak = max(peak, float32(math.Abs(float64(v))))
	}
	gain := min(0.9/peak, 20)
	const fade = keptRate / 50
	for i := range out {
		edge := float32(min(i, len(out)-1-i, fade)) / fade
		out[i] *= gain * edge
	}
	return out
}
