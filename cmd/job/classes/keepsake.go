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

// keepsake passes a source on and keeps what went by at keptRate, 16 bits a
// sample: a minute is 1 MB.
type keepsake struct {
	dsp.Source
	resampler *dsp.Resampler
	kept      [][]int16 // in stretches
	count     int       // samples kept
}

func keep(src dsp.Source) *keepsake {
	return &keepsake{Source: src, resampler: dsp.NewResampler(src.Rate(), keptRate)}
}

func (k *keepsake) Read(buf []float32) (int, error) {
	n, err := k.Source.Read(buf)
	k.resampler.Push(buf[:n], func(x float32) {
		if k.count%stretch == 0 {
			k.kept = append(k.kept, make([]int16, 0, stretch))
		}
		last := &k.kept[len(k.kept)-1]
		*last = append(*last, int16(math.Round(32767*max(-1, min(1, float64(x))))))
		k.count++
	})
	return n, err
}

// between is the sound from one moment to another, s, made as loud as a page's
// sounds are: a phone's loudspeaker has little to give a bass. Its ends are faded,
// so that they do not click.
func (k *keepsake) between(from, to float64) []float32 {
	a := max(0, int(from*keptRate))
	b := min(k.count, int(to*keptRate))
	if a >= b {
		return nil
	}
	out := make([]float32, b-a)
	peak := float32(1.0 / 32768)
	for i := range out {
		out[i] = float32(k.kept[(a+i)/stretch][(a+i)%stretch]) / 32768
		peak = max(peak, float32(math.Abs(float64(out[i]))))
	}
	gain := min(0.9/peak, 20)
	const fade = keptRate / 50
	for i := range out {
		edge := float32(min(i, len(out)-1-i, fade)) / fade
		out[i] *= gain * edge
	}
	return out
}
