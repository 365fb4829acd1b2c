package dsp

import "math"

// biquad is one second-order section, transposed direct form II.
type biquad struct{ b0, b1, b2, a1, a2, z1, z2 float64 }

func (q *biquad) step(x float64) float64 {
	y := q.b0*x + q.z1
	q.z1 = q.b1*x - q.a1*y + q.z2
	q.z2 = q.b2*x - q.a2*y
	return y
}

// lowPass and highPass are second-order sections by the bilinear transform
// (R. Bristow-Johnson, "Cookbook formulae for audio EQ biquad filter
// coefficients", W3C Note 2021).
func lowPass(cutoff, q float64, rate int) biquad {
	cos, alpha := section(cutoff, q, rate)
	a0 := 1 + alpha
	b := (1 - cos) / 2 / a0
	return biquad{b0: b, b1: 2 * b, b2: b, a1: -2 * cos / a0, a2: (1 - alpha) / a0}
}

func highPass(cutoff, q float64, rate int) biquad {
	cos, alpha := section(cutoff, q, rate)
	a0 := 1 + alpha
	b := (1 + cos) / 2 / a0
	return biquad{b0: b, b1: -2 * b, b2: b, a1: -2 * cos / a0, a2: (1 - alpha) / a0}
}

func section(cutoff, q float64, rate int) (cos, alpha float64) {
	sin, cos := math.Sincos(2 * math.Pi * cutoff / float64(rate))
	return cos, sin / (2 * q)
}

// firstOrderHighPass is a first-order high-pass section by the bilinear transform: 6 dB an
// octave below its corner.
func firstOrderHighPass(corner float64, rate int) biquad {
	k := math.Tan(math.Pi * corner / float64(rate))
	b := 1 / (1 + k)
	return biquad{b0: b, b1: -b, a1: (k - 1) / (k + 1)}
}

// tiltCorner is where the tilt of the band begins, Hz. A bass's upper partials
// say more of its pitch than its fundamental, which body and microphone weaken
// and which the thump of a pluck and mains hum lie beside: the tilt leans on them.
const tiltCorner = 100

// Set by ear; no source.
const (
	bandUnderLow = 0.7 // of the lowest pitch, where the band begins
	bandOverHigh = 2.5 // of the highest, where it ends …
	bandOfRate   = 0.4 // … or of the sampling rate, where that is too low
)

// bandFilter is the chain before pitch is sought: below the lowest note's
// fundamental nothing but rumble and DC, above a few partials of the highest
// nothing that pitch needs. A filter that does not change with time leaves
// the period of a steady note alone.
type bandFilter struct{ hp, tilt, lp1, lp2, lp3 biquad }

func newBandFilter(c Config, rate int) bandFilter {
	top := math.Min(bandOverHigh*c.High, bandOfRate*float64(rate))
	// Quality factors of the three sections of a sixth-order Butterworth filter.
	return bandFilter{
		hp:   highPass(bandUnderLow*c.Low, math.Sqrt2/2, rate),
		tilt: firstOrderHighPass(tiltCorner, rate),
		lp1:  lowPass(top, 0.5176, rate), lp2: lowPass(top, math.Sqrt2/2, rate), lp3: lowPass(top, 1.9319, rate),
	}
}

func (f *bandFilter) step(x float64) float64 {
	return f.lp3.step(f.lp2.step(f.lp1.step(f.tilt.step(f.hp.step(x)))))
}
