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
	kept   [][]int16 // in stretches, so that nothing is copied as it grows
	count  int       // samples kept
	recent []float32 // the source's last samples
	first  int       // the index of recent[0]
	phases [][]float32
	ratio  float64 // source samples a kept one
	half   int     // source samples under half a kernel
}

const (
	crossings = 8
	fine      = 64            // places between two source samples
	stretch   = keptRate * 30 // samples
)

func keep(src dsp.Source) *keepsake {
	k := &keepsake{Source: src, ratio: float64(src.Rate()) / keptRate}
	width := max(k.ratio, 1) / 0.92 // the pass band ends a little below half the rate
	k.half = int(crossings*width) + 1
	k.recent, k.first = make([]float32, k.half, 1<<16), -k.half // silence before the first sample
	for phase := range fine + 1 {
		taps := make([]float32, 2*k.half+1)
		for t := range taps {
			x := math.Abs(float64(t-k.half)-float64(phase)/fine) / width
			if x >= crossings {
				continue
			}
			window := 0.5 + 0.5*math.Cos(math.Pi*x/crossings)
			sinc := 1.0
			if x > 0 {
				sinc = math.Sin(math.Pi*x) / (math.Pi * x)
			}
			taps[t] = float32(window * sinc / width)
		}
		k.phases = append(k.phases, taps)
	}
	return k
}

func (k *keepsake) Read(buf []float32) (int, error) {
	n, err := k.Source.Read(buf)
	k.recent = append(k.recent, buf[:n]...)
	for {
		at := float64(k.count) * k.ratio
		middle := int(at)
		from := middle - k.half - k.first
		taps := k.phases[int((at-float64(middle))*fine+0.5)]
		if from+len(taps) > len(k.recent) {
			break
		}
		if k.count%stretch == 0 {
			k.kept = append(k.kept, make([]int16, 0, stretch))
		}
		last := &k.kept[len(k.kept)-1]
		*last = append(*last, int16(math.Round(32767*max(-1, min(1, float64(dot(taps, k.recent[from:])))))))
		k.count++
	}
	if spare := int(float64(k.count)*k.ratio) - k.half - k.first; spare > 1<<14 {
		k.recent = append(k.recent[:0], k.recent[spare:]...)
		k.first += spare
	}
	return n, err
}

// dot is the sum of products; b is at least as long as a.
func dot(a, b []float32) float32 {
	b = b[:len(a)]
	var s0, s1, s2, s3 float32
	i := 0
	for ; i+4 <= len(a); i += 4 {
		s0 += a[i] * b[i]
		s1 += a[i+1] * b[i+1]
		s2 += a[i+2] * b[i+2]
		s3 += a[i+3] * b[i+3]
	}
	for ; i < len(a); i++ {
		s0 += a[i] * b[i]
	}
	return s0 + s1 + s2 + s3
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
