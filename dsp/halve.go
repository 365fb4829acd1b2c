package dsp

import "math"

// halver brings a stream to half its rate: a half-band filter, of whose taps every other one is
// nothing, under a Kaiser window (A. V. Oppenheim and R. W. Schafer, Discrete-Time Signal
// Processing, section 7.5.3). What lies below halfBand of the rate passes within a millionth,
// and nothing is folded into it that is more than a millionth (halve_test.go).
type halver struct {
	taps [halverTaps]float64 // of the first, third … place beside the middle, on either side
	in   []float64           // the samples that are still needed; the first new one lies at next's place
	next int
	out  []float64
}

// halfBand is the share of the rate up to which sound stays as it is: 8 kHz of 44.1.
const halfBand = 0.1815

const (
	halverTaps   = 16
	halverReach  = 2*halverTaps - 1 // samples either side of the middle
	halverKaiser = 13.0             // the window's beta: 130 dB
)

func newHalver() *halver {
	h := &halver{in: make([]float64, halverReach), next: halverReach} // silence before the first
	sum := 0.0
	for i := range h.taps {
		k := float64(2*i + 1)
		x := k / (halverReach + 1)
		h.taps[i] = math.Sin(math.Pi*k/2) / k * besselI0(halverKaiser*math.Sqrt(1-x*x))
		sum += h.taps[i]
	}
	for i := range h.taps {
		h.taps[i] /= 4 * sum
	}
	return h
}

// push takes the next samples and gives one for each two, which stay until the next call.
func (h *halver) push(samples []float64) []float64 {
	h.in, h.out = append(h.in, samples...), h.out[:0]
	for ; h.next+halverReach < len(h.in); h.next += 2 {
		x, t := (*[2*halverReach + 1]float64)(h.in[h.next-halverReach:]), &h.taps
		var a, b float64 // two sums, so that neither waits for the other
		for i := 0; i < halverTaps; i += 2 {
			a += t[i] * (x[halverReach-1-2*i] + x[halverReach+1+2*i])
			b += t[i+1] * (x[halverReach-3-2*i] + x[halverReach+3+2*i])
		}
		h.out = append(h.out, x[halverReach]/2+(a+b))
	}
	gone := h.next - halverReach
	h.in, h.next = h.in[:copy(h.in, h.in[gone:])], halverReach
	return h.out
}

// besselI0 is the modified Bessel function of the first kind and order nought, by its power series.
func besselI0(x float64) float64 {
	sum, term := 1.0, 1.0
	for k := 1.0; term > sum*1e-17; k++ {
		term *= x / (2 * k) * x / (2 * k)
		sum += term
	}
	return sum
}
