package dsp

import (
	"math/cmplx"
	"math/rand"
	"testing"

	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/dsp/fourier"
)

// noise is random complex sound.
func noise(size int) []complex128 {
	rng := rand.New(rand.NewSource(1))
	x := make([]complex128, size)
	for i := range x {
		x[i] = complex(rng.NormFloat64(), rng.NormFloat64())
	}
	return x
}

// Outside check: gonum's dsp/fourier, at every size that the sampling rates from 8 to
// 192 kHz lead to and beyond. Rounding grows with the logarithm of the size.
func TestTheTransformIsThatOfAnotherLibrary(t *testing.T) {
	for size := 4; size <= 16384; size *= 2 {
		x, z := noise(size), make([]complex128, size)
		newTransform(size).of(x, z)
		worst := 0.0
		for i, want := range fourier.NewCmplxFFT(size).Coefficients(nil, x) {
			worst = max(worst, cmplx.Abs(z[i]-want))
		}
		assert.Less(t, worst, 1e-12*float64(size), size)
	}
}

// One turn in so many samples is one line, and its negative the mirrored one.
func TestATurnIsOneLineOfTheTransform(t *testing.T) {
	for _, size := range []int{4, 8, 512, 1024} {
		for _, k := range []int{0, 1, size/2 - 1, size / 2, size - 1} {
			x, z := make([]complex128, size), make([]complex128, size)
			for i := range x {
				x[i] = cmplx.Conj(turn(k*i%size, size))
			}
			newTransform(size).of(x, z)
			for i, v := range z {
				want := complex(0, 0)
				if i == k {
					want = complex(float64(size), 0)
				}
				assert.InDelta(t, 0, cmplx.Abs(v-want), 1e-9, "line %d of %d at %d", k, size, i)
			}
		}
	}
}
