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
	rising     []complex128 // and how that changes from sample to sample, while it is learned
	heed       Heed
	learning   int // samples until it follows by itself
	quick      float64
	slow       float64
}

// Heed is how closely a drone is listened for.
type Heed int

// What can be heeded.
const (
	Learn  Heed = iota // it sounds and nobody plays
	Follow             // somebody may play
	Hold               // something else of its pitches sounds: keep to what is known
)

const (
	learnTime  = 0.03 // s that learning takes to come within 1/e
	followTime = 4.0  // s, afterwards
)

// NewWithout takes out a drone of hz. For the first seconds of the source, or
// with 0 until Heed says otherwise, the drone sounds and nobody plays.
func NewWithout(src dsp.Source, hz, seconds float64) *Without {
	rate := float64(src.Rate())
	w := &Without{Source: src, learning: int(seconds * rate), quick: 1 / (learnTime * rate), slow: 1 / (followTime * rate)}
	for h := range dronePartials {
		if f := hz * float64(h+1); f < 0.45*rate {
			w.turn = append(w.turn, 1)
			w.step = append(w.step, cmplx.Rect(1, 2*math.Pi*f/rate))
		}
	}
	w.heed = Learn
	w.heard, w.rising = make([]complex128, len(w.turn)), make([]complex128, len(w.turn))
	return w
}

// Heed says how closely to listen from the next sample on; what NewWithout was
// told of seconds counts no more. A drone must have sounded half a second before
// it is more than learned.
func (w *Without) Heed(h Heed) { w.heed, w.learning = h, 0 }

// Read implements dsp.Source.
func (w *Without) Read(buf []float32) (int, error) {
	n, err := w.Source.Read(buf)
	for i, v := range buf[:n] {
		left := float64(v)
		for h, c := range w.heard {
			left -= real(c * w.turn[h])
		}
		if w.learning > 0 {
			if w.learning--; w.learning == 0 {
				w.heed = Follow
			}
		}
		for h := range w.heard {
			missed := complex(2*left, 0) * cmplx.Conj(w.turn[h])
			switch w.heed {
			case Learn:
				// With the change as a second unknown (a critically damped tracker)
				// a drone that fades in does not run ahead and become a note.
				w.rising[h] += complex(w.quick*w.quick, 0) * missed
				w.heard[h] += w.rising[h] + complex(2*w.quick, 0)*missed
			case Follow:
				w.heard[h] += complex(w.slow, 0) * missed
			}
			w.turn[h] *= w.step[h]
		}
		buf[i] = float32(max(-1, min(1, left)))
	}
	for h, c := range w.turn { // rounding must not let them grow
		w.turn[h] = c / complex(cmplx.Abs(c), 0)
	}
	return n, err
}
