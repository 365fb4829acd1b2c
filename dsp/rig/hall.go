package rig

import (
	"math"
	"math/bits"
	"math/cmplx"
	"math/rand"
)

// A room's own sound is noise that dies away, in each band at its own rate (J. A. Moorer,
// "About This Reverberation Business", Computer Music Journal 3, 1979).

// roomBands are the edges of the bands, Hz, and how long each rings against the middle.
var roomBands = []struct{ low, high, longer float64 }{
	{0, 130, 1.25}, {130, 260, 1.15}, {260, 520, 1.05}, {520, 1040, 1}, {1040, 2100, 0.9}, {2100, 4200, 0.75}, {4200, 12000, 0.5},
}

// Hall puts the take into a room whose middle bands die away by 60 dB in seconds; wet is
// the level of what the room adds against the direct sound, dB.
func (t *Take) Hall(seconds, wet float64, seed int64) {
	rng := rand.New(rand.NewSource(seed))
	length := int(1.1 * seconds * Rate)
	answer := make([]float64, length)
	for _, band := range roomBands {
		noise := &Take{Samples: make([]float32, length)}
		for i := range noise.Samples {
			noise.Samples[i] = float32(rng.NormFloat64())
		}
		if band.low > 0 {
			noise.filter(highPass(band.low, math.Sqrt2/2))
		}
		noise.filter(lowPass(band.high, math.Sqrt2/2))
		for i, v := range noise.Samples {
			answer[i] += float64(v) * math.Pow(10, -3*float64(i)/Rate/(seconds*band.longer))
		}
	}
	before := Rate / 250 // 4 ms: the nearest wall
	dry := make([]float64, len(t.Samples))
	for i, s := range t.Samples {
		dry[i] = float64(s)
	}
	added := convolve(dry, answer)
	var direct, tail float64
	for i := range dry {
		direct += dry[i] * dry[i]
		tail += added[i] * added[i]
	}
	if tail == 0 {
		return
	}
	gain := math.Pow(10, wet/20) * math.Sqrt(direct/tail)
	for i := before; i < len(dry); i++ {
		t.Samples[i] = float32(dry[i] + gain*added[i-before])
	}
	t.keepInside()
}

// convolve gives as many values as x has, by blocks (overlap and add).
func convolve(x, answer []float64) []float64 {
	size := 1 << bits.Len(uint(2*len(answer)))
	step := size - len(answer)
	h := make([]complex128, size)
	for i, v := range answer {
		h[i] = complex(v, 0)
	}
	transform(h, 1)
	out := make([]float64, len(x)+size)
	z := make([]complex128, size)
	for from := 0; from < len(x); from += step {
		clear(z)
		for i, v := range x[from:min(len(x), from+step)] {
			z[i] = complex(v, 0)
		}
		transform(z, 1)
		for i := range z {
			z[i] *= h[i]
		}
		transform(z, -1)
		for i, v := range z {
			out[from+i] += real(v) / float64(size)
		}
	}
	return out[:len(x)]
}

// transform is Fourier's, in place, of a power of two (Cooley and Tukey 1965); sign -1 is
// the way back, not divided.
func transform(z []complex128, sign float64) {
	n := len(z)
	shift := 64 - bits.Len(uint(n-1))
	for i := range z {
		if j := int(bits.Reverse64(uint64(i)) >> shift); j > i {
			z[i], z[j] = z[j], z[i]
		}
	}
	for size := 2; size <= n; size *= 2 {
		half := size / 2
		turns := make([]complex128, half)
		for k := range turns {
			turns[k] = cmplx.Rect(1, -sign*2*math.Pi*float64(k)/float64(size))
		}
		for from := 0; from < n; from += size {
			for k, turn := range turns {
				a, b := z[from+k], z[from+half+k]*turn
				z[from+k], z[from+half+k] = a+b, a-b
			}
		}
	}
}
