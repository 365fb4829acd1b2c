package dsp

import "fmt"

// Config says what to listen for. The zero value is not usable; begin with Bass.
type Config struct {
	// Low and High bound the fundamental frequencies sought, Hz.
	Low, High float64
	// Lag is how many frames the choice of pitch path may look ahead before a
	// frame is settled: many for a recording, a few for the microphone.
	Lag int
}

// Bass listens to the double bass: from a low B string (B0, 30.9 Hz, with room
// below) to the G4 at the end of the fingerboard and the A4 above it in solo tuning.
var Bass = Config{Low: 28, High: 500, Lag: 60}

// Live is c with the few frames of look-ahead that a player can wait for.
func (c Config) Live() Config {
	c.Lag = 1
	return c
}

// Rates Endpin listens to, samples a second.
const (
	MinRate = 8000
	MaxRate = 192000
)

func (c Config) validate(rate int) error {
	switch {
	case rate < MinRate || rate > MaxRate:
		return Fault("sound.rate", "rate", rate, "least", MinRate, "most", MaxRate) // as a device may have
	case c.Low < 15 || c.High > 2500 || c.High < 2*c.Low:
		return fmt.Errorf("dsp: a pitch range of %g to %g Hz is outside 15 to 2500 Hz or less than an octave", c.Low, c.High)
	case c.Lag < 1:
		return fmt.Errorf("dsp: a look-ahead of %d frames; it takes at least 1", c.Lag)
	}
	return nil
}
