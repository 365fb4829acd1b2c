package dsp

import (
	"math"
	"math/cmplx"
	"math/rand"
	"testing"

	"github.com/stretchr/testify/assert"
)

// sounding is a stretch of a second with partials of some pitches, each falling off as
// 1/k, over soft noise; but of the first only those that keep says.
func sounding(keep func(k int) bool, pitches ...float64) *Heard {
	const rate, top = 2756.25, 1100
	h := &Heard{band: make([]int16, 2756), bandRate: rate, bandTop: top}
	r := rand.New(rand.NewSource(5))
	for i := range h.band {
		v := 0.002 * r.NormFloat64()
		for n, p := range pitches {
			f := ReferenceA * math.Exp2((p-69)/12)
			for k := 1; float64(k)*f < top; k++ {
				if n > 0 || keep(k) {
					v += 0.1 / float64(k) * math.Sin(2*math.Pi*float64(k)*f*float64(i)/rate+float64(k*n))
				}
			}
		}
		h.band[i] = int16(32767 * v)
	}
	return h
}

func every(int) bool { return true }

func (h *Heard) cost(pitches ...float64) float64 {
	c, _ := h.Stretch(0.3, 0.6).Explained(pitches...)
	return c
}

func TestANoteIsToldFromItsOctaves(t *testing.T) {
	for _, midi := range []float64{28, 33.2, 40, 47.9, 55} {
		h := sounding(every, midi)
		assert.Less(t, h.cost(midi), h.cost(midi+12), "%g is not the octave above: its odd partials sound", midi)
		assert.Less(t, h.cost(midi), h.cost(midi-12), "%g is not the octave below: nothing sounds between its partials", midi)
		_, left := h.Stretch(0.3, 0.6).Explained(midi)
		assert.Less(t, left, 0.01)
	}
}

func TestANoteWithoutItsFundamentalIsStillItself(t *testing.T) {
	h := sounding(func(k int) bool { return k > 2 }, 33)
	assert.Less(t, h.cost(33), h.cost(45))
	assert.Less(t, h.cost(33), h.cost(33+19))
}

// With A1 ringing under D2 the third partial of D1 sounds: the second of A1.
func TestAStringThatRingsMakesNoOctave(t *testing.T) {
	h := sounding(every, 38, 33)
	assert.Less(t, h.cost(38, 33), h.cost(26, 33))
	assert.Less(t, h.cost(38, 33), h.cost(38))
	assert.Less(t, h.cost(38, 33), h.cost(26))
}

func TestTheGramMatrixIsThatOfTheWindowedPartials(t *testing.T) {
	j := (&Heard{band: make([]int16, 700), bandRate: 2756.25, bandTop: 1100}).Stretch(0, 0.2539).partials([]float64{36, 41})
	for _, theta := range []float64{0, 0.003, 0.05, 1.1, 3} {
		once, twice := complex(0, 0), complex(0, 0)
		for i := range j.x {
			w := 0.5 - 0.5*math.Cos(2*math.Pi*(float64(i)+0.5)/float64(len(j.x)))
			once += complex(w, 0) * cis(theta*float64(i))
			twice += complex(w*w, 0) * cis(theta*float64(i))
		}
		assert.InDelta(t, 0, cmplx.Abs(once-j.hann(theta)), 1e-6)
		assert.InDelta(t, 0, cmplx.Abs(twice-j.window(theta)), 1e-6)
	}
}

func TestASilentOrShortStretchExplainsNothing(t *testing.T) {
	h := &Heard{band: make([]int16, 2756), bandRate: 2756, bandTop: 1100}
	for _, at := range [][2]float64{{0.1, 0.3}, {0.1, 0.12}, {0.8, 1.2}, {-1, 0.5}} {
		c, left := h.Stretch(at[0], at[1]).Explained(40)
		assert.True(t, math.IsNaN(c) && math.IsNaN(left), "%v", at)
	}
	c, _ := (&Heard{}).Stretch(0, 1).Explained(40)
	assert.True(t, math.IsNaN(c), "nothing was kept")
}

func TestASecondPitchIsFoundBesideANote(t *testing.T) {
	for _, second := range []float64{43, 47.1, 54, 58.8} {
		pitch, gain := sounding(every, 38, second).Beside(0.3, 0.6, 40, 76, 38)
		assert.InDelta(t, second, pitch, 0.2)
		assert.Greater(t, gain, 100.0)
	}
	_, gain := sounding(every, 38).Beside(0.3, 0.6, 40, 76, 38)
	assert.Less(t, gain, 0.0, "alone")
	_, gain = sounding(every, 38, 47).Beside(0.3, 0.6, 40, 76, 38, 47)
	assert.Less(t, gain, 0.0, "what is known of is none beside it")
	_, gain = sounding(every, 38.04).Beside(0.3, 0.6, 40, 76, 38)
	assert.Less(t, gain, 10.0, "nor is the note itself, a hair off")
	_, gain = (&Heard{}).Beside(0.3, 0.6, 40, 76, 38)
	assert.True(t, math.IsNaN(gain), "nothing was kept")
}

func BenchmarkBeside(b *testing.B) {
	h := sounding(every, 38, 33)
	for b.Loop() {
		h.Beside(0.3, 0.6, 40, 76, 38, 33, 45, 43, 28)
	}
}

func BenchmarkExplained(b *testing.B) {
	h := sounding(every, 38, 33)
	for b.Loop() {
		h.Stretch(0.3, 0.6).Explained(38, 33, 45)
	}
}
