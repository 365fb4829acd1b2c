package dsp

import (
	"math"
	"math/cmplx"
)

// Mains hum never pauses, which tells it from all that is played. Each of its lines is
// estimated by least squares, stretch by stretch: a stretch of 0.4 s, in which lines of
// 50 and 60 Hz are orthogonal, counts the more the less of it the lines leave over, and
// the longer ago the less. A note beside a line turns against it from stretch to stretch,
// and comes to nothing.
const (
	humHarmonics = 8    // of the mains, whose lines are sought
	humStretch   = 0.4  // s
	humFirst     = 2    // stretches before which nothing is known: a note that begins the take is no hum
	humMemory    = 5.0  // s by which what was heard counts less by a factor e: the mains stray by 0.02 Hz
	humPlain     = 3000 // times its own uncertainty, in power, from which on a line is taken out: a note a hertz away comes to 300
	humLeast     = 1e-9 // power below which no stretch is quieter
)

// humMains are the world's, Hz.
var humMains = [2]float64{50, 60}

// mainsHum finds hum in a stream and takes it out.
type mainsHum struct {
	lines     []humLine
	stretch   int     // looks in one
	looks     int     // so far in this one
	stretches int     // so far
	power     float64 // summed over this one
	weight    float64 // summed over all
	keep      float64 // of it, from one to the next
	mains     [2]int  // stretches in which a line of either was taken out
	out       []int   // the lines that are taken out now: most sound has none, and each sample asks
}

type humLine struct {
	mains      int
	turn, fine complex128 // phase from one look to the next, and from one sample
	at         complex128 // where it is now
	sum        complex128 // along it, over this stretch
	all        complex128 // and over all, weighted
	size       complex128 // what is taken out
	now        complex128 // of it at this moment
}

// newHum makes one for sound of a rate that is looked at every step samples.
func newHum(rate, step int) *mainsHum {
	looks := float64(rate) / float64(step)
	h := &mainsHum{lines: make([]humLine, 0, 2*humHarmonics), out: make([]int, 0, 2*humHarmonics), stretch: int(humStretch * looks), keep: math.Exp(-humStretch / humMemory)}
	for m, mains := range humMains {
		for k := 1; k <= humHarmonics; k++ {
			if hz := mains * float64(k); m == 0 || math.Mod(hz, humMains[0]) != 0 {
				h.lines = append(h.lines, humLine{mains: m, at: 1, turn: cmplx.Rect(1, 2*math.Pi*hz/looks), fine: cmplx.Rect(1, 2*math.Pi*hz/float64(rate))})
			}
		}
	}
	return h
}

// step takes what is known of hum out of the next sample, and learns from it where it
// is one to look at.
func (h *mainsHum) step(v float64, look bool) float64 {
	if look {
		h.learn(v)
	}
	for _, i := range h.out {
		l := &h.lines[i]
		v -= real(l.now)
		l.now *= l.fine
	}
	return v
}

func (h *mainsHum) learn(v float64) {
	h.power += v * v
	for i := range h.lines {
		l := &h.lines[i]
		l.sum += complex(v*real(l.at), -v*imag(l.at))
		l.at *= l.turn
	}
	if h.looks++; h.looks == h.stretch {
		h.conclude()
	}
	for _, i := range h.out {
		l := &h.lines[i]
		l.now = l.size * l.at
	}
}

// conclude ends a stretch.
func (h *mainsHum) conclude() {
	n := float64(h.stretch)
	left := h.power / n
	for i := range h.lines {
		left -= 2 * square(h.lines[i].sum) / (n * n)
	}
	w := 1 / (math.Max(0, left) + humLeast)
	h.weight = h.keep*h.weight + w*n
	h.stretches++
	of := [2]bool{}
	h.out = h.out[:0]
	for i := range h.lines {
		l := &h.lines[i]
		l.all = complex(h.keep, 0)*l.all + complex(w, 0)*l.sum
		if l.size = 0; h.stretches >= humFirst && square(l.all) > humPlain*h.weight {
			l.size = l.all * complex(2/h.weight, 0)
			of[l.mains], h.out = true, append(h.out, i)
		}
		l.at /= complex(cmplx.Abs(l.at), 0) // rounding
		l.sum = 0
	}
	for m, some := range of {
		if some {
			h.mains[m]++
		}
	}
	h.looks, h.power = 0, 0
}

func square(z complex128) float64 { return real(z)*real(z) + imag(z)*imag(z) }

// heard is the mains whose hum was taken out of most of the sound, Hz; 0 for none.
func (h *mainsHum) heard() float64 {
	for m, n := range h.mains {
		if 2*n > h.stretches {
			return humMains[m]
		}
	}
	return 0
}
