package voice

import (
	"math"

	"endpin/dsp"
)

// dronePartials are the drone's amplitudes: few, so that it is calm beside a
// bass, and even as odd, so that any interval finds a partial to beat against.
var dronePartials = []float64{1, 0.6, 0.4, 0.25, 0.15, 0.1}

const (
	droneLevel = 0.25 // peak, about
	droneFade  = 0.5  // s
	droneRound = 4.0  // s, about, that it takes to go round
)

// DroneHz is the frequency of a drone on a MIDI note number at a reference A, as
// many octaves up as asked.
func DroneHz(midi, octaves int, referenceA float64) float64 {
	return referenceA / dsp.ReferenceA * dsp.Hz(float64(midi+12*octaves))
}

// Drone sounds hz without an end. It goes round after a whole number of
// periods; the frequency is off by less than 0.01 cent for that.
func Drone(rate int, hz float64) Loop {
	periods := math.Round(droneRound * hz)
	n := int(math.Round(periods * float64(rate) / hz))
	x := make(Clip, n)
	for h, a := range dronePartials {
		if periods*float64(h+1)/float64(n) > 0.45 {
			break
		}
		for i := range x {
			x[i] += float32(droneLevel / 1.6 * a * math.Sin(2*math.Pi*math.Mod(periods*float64(h+1)*float64(i)/float64(n), 1)+0.7*float64(h*h)))
		}
	}
	return Loop{round: x, fadeIn: int(droneFade * float64(rate))}
}
