package dsp

import "math"

// A longer sinc is steeper, a finer table truer: with these a sine keeps to itself
// within 60 dB (resample_test.go).
const (
	resampleCrossings = 16   // of the sinc, each side
	resampleSteps     = 512  // of its table, a crossing
	resamplePassBand  = 0.94 // of what both rates carry
)

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
		x := float64(i) / resampleSteps
		if x >= resampleCrossings {
			break
		}
		sinc := 1.0
		if x > 0 {
			sinc = math.Sin(math.Pi*x) / (math.Pi * x)
		}
		table[i] = sinc * (0.5 + 0.5*math.Cos(math.Pi*x/resampleCrossings)) / width
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
