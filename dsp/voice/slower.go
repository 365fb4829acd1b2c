package voice

import "math"

// How a sound is made slower, seconds. A window holds two periods of the lowest B of a
// bass with five strings, which is the least that carries its pitch, and is put where it
// goes on best within one of them.
const (
	slowWindow = 0.07
	slowSearch = 0.033
	slowCoarse = 8 // samples from one place to the next that is looked at first
)

// Slower is a sound made longer so many times, 1 to 4, at the same pitch: windows of it
// are laid over each other farther apart than they were taken, each taken where it is most
// like what would have gone on (WSOLA: W. Verhelst and M. Roelands, ICASSP 1993).
func Slower(x Clip, rate int, times float64) Clip {
	times = math.Max(1, math.Min(4, times))
	n := int(slowWindow*float64(rate)) &^ 1
	if times == 1 || len(x) < 2*n {
		return x
	}
	hop, reach := n/2, int(slowSearch*float64(rate))
	window := make([]float32, n)
	for i := range window { // two of them, half a window apart, add up to one
		window[i] = float32(0.5 - 0.5*math.Cos(2*math.Pi*float64(i)/float64(n)))
	}
	out := make(Clip, int(float64(len(x))*times))
	add := func(from, to int, first bool) {
		for i := range window {
			if from+i >= len(x) || to+i >= len(out) {
				return
			}
			w := window[i]
			if first && i < hop {
				w = 1 // nothing lies before it
			}
			out[to+i] += w * x[from+i]
		}
	}
	from := 0
	add(0, 0, true)
	for to := hop; to < len(out); to += hop {
		goesOn := from + hop                                              // where the window before would have gone on
		from = alike(x, goesOn, int(float64(to+hop)/times)-hop, reach, n) // middle to middle
		add(from, to, false)
	}
	return out
}

// alike is the place within reach of another at which a stretch of a sound is most like
// the stretch that begins at goesOn.
func alike(x Clip, goesOn, at, reach, n int) int {
	low, high := max(0, at-reach), min(len(x)-n, at+reach)
	if goesOn+n > len(x) || high <= low {
		return max(0, min(at, len(x)-1))
	}
	likeness := func(k, stride int) float64 {
		var both, own float64
		for i := 0; i < n; i += stride {
			a, b := float64(x[goesOn+i]), float64(x[k+i])
			both += a * b
			own += b * b
		}
		return both / math.Sqrt(own+1e-9)
	}
	best, most := low, math.Inf(-1)
	for k := low; k <= high; k += slowCoarse {
		if l := likeness(k, slowCoarse); l > most {
			best, most = k, l
		}
	}
	most = math.Inf(-1)
	middle := best
	for k := max(low, middle-slowCoarse); k <= min(high, middle+slowCoarse); k++ {
		if l := likeness(k, 2); l > most {
			best, most = k, l
		}
	}
	return best
}
