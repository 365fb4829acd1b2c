package job

import (
	"math"

	"endpin/dsp"
)

// keptRate is the rate at which sound is kept to be played back, samples a
// second: enough for a bass, whose notes need but a few kHz, and small.
const keptRate = 8000

// keepsake passes a source on and keeps what went by at keptRate, 16 bits a
// sample: a minute is 1 MB. Each kept sample is the source under a windowed sinc
// (a Hann window of eight crossings each side), which takes off what lies above.
type keepsake struct {
	dsp.Source
	kept   []int16
	recent []float32 // the source's last samples
	first  int       // the index of recent[0]
	kernel []float64 // over half its width, fine steps a source sample
	ratio  float64   // source samples a kept one
	half   int       // source samples
}

const (
	crossings = 8
	fine      = 64
)

func keep(src dsp.Source) *keepsake {
	k := &keepsake{Source: src, ratio: float64(src.Rate()) / keptRate}
	width := max(k.ratio, 1) / 0.92 // the pass band ends a little below half the rate
	k.half = int(crossings * width)
	k.kernel = make([]float64, k.half*fine+fine+1)
	for i := range k.kernel {
		x := float64(i) / fine / width
		if x >= crossings {
			continue
		}
		window := 0.5 + 0.5*math.Cos(math.Pi*x/crossings)
		sinc := 1.0
		if x > 0 {
			sinc = math.Sin(math.Pi*x) / (math.Pi * x)
		}
		k.kernel[i] = window * sinc / width
	}
	return k
}

func (k *keepsake) Read(buf []float32) (int, error) {
	n, err := k.Source.Read(buf)
	k.recent = append(k.recent, buf[:n]...)
	for {
		at := float64(len(k.kept)) * k.ratio
		middle := int(at)
		if middle+k.half+1 >= k.first+len(k.recent) {
			break
		}
		sum := 0.0
		for i := max(middle-k.half, k.first); i <= middle+k.half; i++ {
			sum += float64(k.recent[i-k.first]) * k.kernel[int(math.Abs(float64(i)-at)*fine+0.5)]
		}
		k.kept = append(k.kept, int16(math.Round(32767*max(-1, min(1, sum)))))
	}
	if spare := int(float64(len(k.kept))*k.ratio) - k.half - 1 - k.first; spare > 1<<14 {
		k.recent = append(k.recent[:0], k.recent[spare:]...)
		k.first += spare
	}
	return n, err
}

// stretch is the sound from one moment to another, s, made as loud as a page's
// sounds are: a phone's loudspeaker has little to give a bass. Its ends are faded,
// so that they do not click.
func (k *keepsake) stretch(from, to float64) []float32 {
	a := max(0, int(from*keptRate))
	b := min(len(k.kept), int(to*keptRate))
	if a >= b {
		return nil
	}
	out := make([]float32, b-a)
	peak := float32(1.0 / 32768)
	for i := range out {
		out[i] = float32(k.kept[a+i]) / 32768
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
