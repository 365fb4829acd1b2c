package voice

import (
	"math"
	"math/cmplx"

	"endpin/dsp"
)

// Without is a source with a drone taken out that leaks into it. A drone is
// exactly known but for how loud and how late each of its partials comes back;
// that is learned while nobody plays, and then followed so slowly that a bass
// that plays the same pitch is not taken for it.
type Without struct {
	dsp.Source
	turn, step []complex128 // by partial: where it is in its period, and how it goes on
	heard      []complex128 // how it comes back
	learning   int          // samples
	quick      float64
	slow       float64
}

const (
	learnTime  = 0.1 // s that learning takes to come within 1/e
	followTime = 4.0 // s, afterwards
)

// NewWithout takes out a drone of hz. For the first seconds of the source, the
// count-in, the drone sounds and nobody plays.
func NewWithout(src dsp.Source, hz, seconds float64) *Without {
	rate := float64(src.Rate())
	w := &Without{Source: src, learning: int(seconds * rate), quick: 2 / (learnTime * rate), slow: 2 / (followTime * rate)}
	for h := range dronePartials {
		if f := hz * float64(h+1); f < 0.45*rate {
			w.turn = append(w.turn, 1)
			w.step = append(w.step, cmplx.Rect(1, 2*math.Pi*f/rate))
		}
	}
	w.heard = make([]complex128, len(w.turn))
	return w
}

// Read implements dsp.Source.
func (w *Without) Read(buf []float32) (int, error) {
	n, err := w.Source.Read(buf)
	for i, v := range buf[:n] {
		left := float64(v)
		for h, c := range w.heard {
			left -= real(c * w.turn[h])
		}
		mu := w.slow
		if w.learning > 0 {
			w.learning--
			mu = w.quick
		}
		for h := range w.heard {
			w.heard[h] += complex(mu*left, 0) * cmplx.Conj(w.turn[h])
			w.turn[h] *= w.step[h]
		}
		buf[i] = float32(max(-1, min(1, left)))
	}
	for h, c := range w.turn { // rounding must not let them grow
		w.turn[h] = c / complex(cmplx.Abs(c), 0)
	}
	return n, err
}
