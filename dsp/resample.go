package dsp

import "math"

// A longer sinc is steeper, a finer table truer: with these a sine keeps to itself
// within 60 dB (resample_test.go).
const (
	resampleCrossings = 16   // of the sinc, each side
	resampleSteps     = 512  // of its table, a crossing
	resamplePassBand  = 0.94 // of what both rates carry
)

// windowedSinc is a sinc, so many crossings each side, that a Hann window ends.
func windowedSinc(x, crossings float64) float64 {
	if x >= crossings {
		return 0
	}
	sinc := 1.0
	if x > 0 {
		sinc = math.Sin(math.Pi*x) / (math.Pi * x)
	}
	return (0.5 + 0.5*math.Cos(math.Pi*x/crossings)) * sinc
}

// Resample gives samples taken at one rate as they would be at another: each
// new sample is the old ones under a sinc that a Hann window ends (J. O. Smith,
// Digital Audio Resampling, 2002; from memory). What the lower rate cannot carry is
// taken off.
func Resample(samples []float32, from, to int) []float32 {
	if from == to || from <= 0 || to <= 0 || len(samples) == 0 {
		return samples
	}
	width := math.Max(1, float64(from)/float64(to)) / resamplePassBand // old samples a crossing
	half := int(math.Ceil(resampleCrossings * width))
	table := make([]float64, resampleCrossings*resampleSteps+2)
	for i := range table {
		table[i] = windowedSinc(float64(i)/resampleSteps, resampleCrossings) / width
	}
	out := make([]float32, int(float64(len(samples))*float64(to)/float64(from)))
	for k := range out {
		at := float64(k) * float64(from) / float64(to)
		middle, sum := int(at), 0.0
		for i := max(0, middle-half); i <= min(len(samples)-1, middle+half); i++ {
			x := math.Abs(float64(i)-at) / width * resampleSteps
			if j := int(x); j < resampleCrossings*resampleSteps {
				f := x - float64(j)
				sum += float64(samples[i]) * ((1-f)*table[j] + f*table[j+1])
			}
		}
		out[k] = float32(sum)
	}
	return out
}

// A shorter sinc at fewer places is enough to hear again what was played, and cheap.
const (
	resamplerCrossings = 8
	resamplerPhases    = 64 // places between two old samples
	resamplerPassBand  = 0.92
	resamplerSpare     = 1 << 14 // old samples that are kept longer than needed
)

// Resampler brings a stream from one rate to another as it comes, more coarsely than
// Resample.
type Resampler struct {
	ratio  float64 // old samples a new one
	half   int     // old samples under half a kernel
	phases [][]float32
	recent []float32 // the last old samples
	first  int       // the index of recent[0]
	count  int       // new samples so far
}

// NewResampler begins a stream. Both rates are in samples a second.
func NewResampler(from, to int) *Resampler {
	r := &Resampler{ratio: float64(from) / float64(to)}
	width := max(r.ratio, 1) / resamplerPassBand
	r.half = int(resamplerCrossings*width) + 1
	r.recent, r.first = make([]float32, r.half, 4*resamplerSpare), -r.half // silence before the first sample
	for phase := range resamplerPhases + 1 {
		taps := make([]float32, 2*r.half+1)
		for t := range taps {
			x := math.Abs(float64(t-r.half)-float64(phase)/resamplerPhases) / width
			taps[t] = float32(windowedSinc(x, resamplerCrossings) / width)
		}
		r.phases = append(r.phases, taps)
	}
	return r
}

// Push takes the next old samples and hands over the new ones that they complete.
func (r *Resampler) Push(samples []float32, take func(float32)) {
	r.recent = append(r.recent, samples...)
	for {
		at := float64(r.count) * r.ratio
		middle := int(at)
		from := middle - r.half - r.first
		taps := r.phases[int((at-float64(middle))*resamplerPhases+0.5)]
		if from+len(taps) > len(r.recent) {
			break
		}
		take(dot(taps, r.recent[from:]))
		r.count++
	}
	if spare := int(float64(r.count)*r.ratio) - r.half - r.first; spare > resamplerSpare {
		r.recent = append(r.recent[:0], r.recent[spare:]...)
		r.first += spare
	}
}
