package sound

import (
	"math"
	"time"
)

// Meter says how loud a microphone is, for a player who sets it up. Push gives
// it the sound; it is used by one goroutine.
type Meter struct {
	rate   int
	peak   float64 // of the last moments, falling slowly
	power  float64 // mean square, smoothed
	flat   float64 // s lately that lay against the top
	silent float64 // s without anything
	loud   float64 // s in all with some playing, at any level
	best   float64 // the loudest of the last seconds, dB
}

// NewMeter makes a meter for sound of one rate.
func NewMeter(rate int) *Meter { return &Meter{rate: rate, best: -120} }

const (
	meterTime   = 0.1    // s over which the level is taken
	peakFall    = 10.0   // dB a second
	clipAt      = 0.9999 // where 16 bits go no higher
	clipSeconds = 0.002  // of flat tops in the last seconds: more than a wave that touches
	zeroLevel   = -85.0  // dB: what a muted microphone gives
	weakLevel   = -45.0  // dB: playing that stays below this
	afterSilent = 2 * time.Second
)

// Push takes the next samples.
func (m *Meter) Push(x []float32) {
	if len(x) == 0 {
		return
	}
	sum, top, flat := 0.0, 0.0, 0
	for _, v := range x {
		a := math.Abs(float64(v))
		sum += a * a
		top = max(top, a)
		if a >= clipAt {
			flat++
		}
	}
	s := float64(len(x)) / float64(m.rate)
	u := 1 - math.Exp(-s/meterTime)
	m.power += u * (sum/float64(len(x)) - m.power)
	m.peak = max(top, m.peak*math.Pow(10, -peakFall*s/20))
	m.flat = m.flat*math.Exp(-s/3) + float64(flat)/float64(m.rate)
	if level := m.Level(); level < zeroLevel {
		m.silent += s
	} else {
		m.silent = 0
	}
	m.loud += s
	m.best = max(m.Level(), m.best-3*s)
}

// Level is the RMS of the last tenth of a second, dB re full scale, -120 at
// least; Peak the largest sample lately, dB.
func (m *Meter) Level() float64 { return max(-120, 10*math.Log10(m.power+1e-30)) }

// Peak is the largest sample of the last moments, dB re full scale.
func (m *Meter) Peak() float64 { return max(-120, 20*math.Log10(m.peak+1e-30)) }

// State says how well a microphone hears.
type State string

// The states.
const (
	TooLoud   State = "too-loud" // the sound is cut off
	Silent    State = "silent"   // nothing is heard at all
	VeryWeak  State = "very-weak"
	Quiet     State = "quiet" // nobody plays just now
	WellHeard State = "well-heard"
)

// State is how well the microphone hears now.
func (m *Meter) State() State {
	switch {
	case m.flat > clipSeconds:
		return TooLoud
	case m.silent > afterSilent.Seconds():
		return Silent
	case m.loud > 2 && m.best < weakLevel:
		return VeryWeak
	case m.Level() < weakLevel:
		return Quiet
	}
	return WellHeard
}

// Wrong reports whether something should be done about it.
func (s State) Wrong() bool { return s == TooLoud || s == Silent || s == VeryWeak }
