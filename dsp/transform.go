package dsp

import (
	"math"
	"math/bits"
)

// transform is the fast Fourier transform of complex sound whose length is a
// power of two: decimation in time (J. Cooley and J. Tukey, "An algorithm for the
// machine calculation of complex Fourier series", Math. Comp. 19, 1965), two
// stages at a time, in place. All are of one size and one follows the other, so
// what they need is made once and nothing is allocated: libraries take four times
// as long, or sixteen, and then flux half of all that listening does.
type transform struct {
	order  []int32 // where each value of the input is taken from
	single bool    // an odd number of stages: the first is taken by itself
	passes []pass
}

// pass joins blocks of a length to blocks four times as long.
type pass struct {
	length  int
	factors [][3]complex128 // for each place in a block: one of the first stage, two of the second
}

// newTransform makes the transform of so many values, at least four.
func newTransform(size int) *transform {
	stages := bits.Len(uint(size)) - 1
	t := &transform{order: make([]int32, size), single: stages%2 != 0}
	for i := range t.order {
		t.order[i] = int32(bits.Reverse32(uint32(i)) >> (32 - stages))
	}
	length := 4
	if t.single {
		length = 2
	}
	for ; length < size; length *= 4 {
		p := pass{length, make([][3]complex128, length)}
		for i := range p.factors {
			p.factors[i] = [3]complex128{turn(i, 2*length), turn(i, 4*length), turn(i+length, 4*length)}
		}
		t.passes = append(t.passes, p)
	}
	return t
}

// turn is exp(-2πi·n/of), exact at the quarters.
func turn(n, of int) complex128 {
	switch 4 * n {
	case 0:
		return 1
	case of:
		return complex(0, -1)
	}
	for n%2 == 0 {
		n, of = n/2, of/2
	}
	sin, cos := math.Sincos(-2 * math.Pi / float64(of) * float64(n))
	return complex(cos, sin)
}

// of puts the transform of x into z, which is another slice of the same length.
func (t *transform) of(x, z []complex128) {
	if t.single {
		for i := 0; i+1 < len(z); i += 2 {
			a, b := x[t.order[i]], x[t.order[i+1]]
			z[i], z[i+1] = a+b, a-b
		}
	} else {
		for i := 0; i+3 < len(z); i += 4 {
			a, b, c, d := x[t.order[i]], x[t.order[i+1]], x[t.order[i+2]], x[t.order[i+3]]
			a, b, c, d = a+b, a-b, c+d, c-d
			d = complex(imag(d), -real(d))
			z[i], z[i+1], z[i+2], z[i+3] = a+c, b+d, a-c, b-d
		}
	}
	for _, p := range t.passes {
		p.join(z)
	}
}

func (p *pass) join(z []complex128) {
	n := p.length
	for ; len(z) >= 4*n; z = z[4*n:] {
		za, zb, zc, zd := z[:n], z[n:2*n], z[2*n:3*n], z[3*n:4*n]
		for i := range p.factors {
			f := &p.factors[i]
			a, b, c, d := za[i], zb[i]*f[0], zc[i], zd[i]*f[0]
			a, b, c, d = a+b, a-b, (c+d)*f[1], (c-d)*f[2]
			za[i], zb[i], zc[i], zd[i] = a+c, b+d, a-c, b-d
		}
	}
}
