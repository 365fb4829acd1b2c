package sound

import "math"

const (
	crossings = 16   // of the sinc, each side
	fineSteps = 512  // of its table, a crossing
	passBand  = 0.94 // of what both rates carry
)

// Resample gives samples taken at one rate as they would be at another: each
// new sample is the old ones under a sinc that a Hann window ends (J. O. Smith,
// Digital Audio Resampling, 2002; from memory). What the lower rate cannot carry is
// taken off.
func Resample(samples []float32, from, to int) []float32 {
	if from == to || from <= 0 || to <= 0 || len(samples) == 0 {
		return samples
	}
	width := math.Max(1, float64(from)/float64(to)) / passBand // old samples a crossing
	half := int(math.Ceil(crossings * width))
	table := make([]float64, crossings*fineSteps+2)
	for i := range table {
		x := float64(i) / fineSteps
		if x >= crossings {
			break
		}
		sinc := 1.0
		if x > 0 {
			sinc = math.Sin(math.Pi*x) / (math.Pi * x)
		}
		table[i] = sinc * (0.5 + 0.5*math.Cos(math.Pi*x/crossings)) / width
	}
	out := make([]float32, int(float64(len(samples))*float64(to)/float64(from)))
	for k := range out {
		at := float64(k) * float64(from) / float64(to)
		middle, sum := int(at), 0.0
		for i := max(0, middle-half); i <= min(len(samples)-1, middle+half); i++ {
			x := math.Abs(float64(i)-at) / width * fineSteps
			if j := int(x); j < crossings*fineSteps {
				f := x - float64(j)
				sum += float64(samples[i]) * ((1-f)*table[j] + f*table[j+1])
			}
		}
		out[k] = float32(sum)
	}
	return out
}
