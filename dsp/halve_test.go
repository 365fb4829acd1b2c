package dsp

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// A sine is known at every moment, so the truth is the sine itself. A sample's own rounding is
// far below the millionth that is asked for.
func TestWhatIsTransformedKeepsItselfAtHalfTheRate(t *testing.T) {
	for _, hz := range []float64{0, 41.2, 1000, 4000, 7000, 8000} {
		half, worst := halved(hz), 0.0
		assert.InDelta(t, 22050, len(half), halverReach)
		for m, v := range half[halverReach:] {
			worst = max(worst, math.Abs(v-math.Cos(2*math.Pi*hz*float64(2*(m+halverReach))/44100)))
		}
		assert.Less(t, worst, 1e-6, "%g Hz", hz)
	}
}

func TestNothingIsFoldedIntoTheBandsOfRises(t *testing.T) {
	for _, hz := range []float64{14050, 15000, 18000, 22000} {
		worst := 0.0
		for _, v := range halved(hz)[halverReach:] {
			worst = max(worst, math.Abs(v))
		}
		assert.Less(t, worst, 1e-6, "%g Hz", hz)
	}
}

// halved is a second of a sine at 44.1 kHz at half that rate, pushed in blocks of any size.
func halved(hz float64) (half []float64) {
	h, block := newHalver(), []float64{}
	for i := range 44100 {
		block = append(block, math.Cos(2*math.Pi*hz*float64(i)/44100))
		if len(block) == i%313+1 {
			half, block = append(half, h.push(block)...), block[:0]
		}
	}
	return append(half, h.push(block)...)
}

// The rises of a sound that is halved are those of the same sound transformed whole: within a
// thousandth of what one that begins a note comes to. What differs are bands that hold nothing,
// where the window's own leakage is all there is.
func TestHalvingChangesNoRise(t *testing.T) {
	x := Tone{Freq: Steady(98), Partials: Sawtooth, Seconds: 1, Rate: 44100}.Samples()
	for i := range x[22050:] {
		x[22050+i] *= float32(i%9000) / 9000
	}
	var whole, halved []float64
	for halvings, rises := range []*[]float64{&whole, &halved} {
		f := newHalvedFlux(44100, 440, halvings, func(rise, _ float64) { *rises = append(*rises, rise) })
		f.push(x)
		f.finish()
	}
	assert.GreaterOrEqual(t, len(halved), 100)
	for i := range 100 {
		assert.InDelta(t, whole[i], halved[i], enoughFluxExcess/1000, "frame %d, dB a band", i)
	}
}
