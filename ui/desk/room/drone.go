package room

import (
	"endpin/dsp/voice"
	"endpin/piece"
	"endpin/piece/words"
)

// Drone is a pitch that a drone may have.
type Drone struct {
	Name string // as it is remembered: of a string, its letter
	midi int    // 0 for the tonic
}

// About is what the desk calls it.
func (d Drone) About() string {
	switch d.Name {
	case "tonic", "reference":
		return words.Say("desk.drone." + d.Name)
	}
	return words.Say("desk.drone.string", "letter", words.Note{Step: d.Name})
}

// Drones are those to choose from. The strings are those of a bass tuned in
// fourths, E1 to G2; the reference is the A below the staff's, two octaves under
// the A that is tuned to, since it is put up again.
var Drones = []Drone{
	{"tonic", 0},
	{"G", 43},
	{"D", 38},
	{"A", 33},
	{"E", 28},
	{"reference", 45},
}

// MostDroneUp is how many octaves a drone may be put up, so that a small
// loudspeaker carries it.
const MostDroneUp = 2

// lowestDrone is the E of the lowest string: a tonic is taken from there up.
const lowestDrone = 28

// tonic is the note that a key is named by, within the octave above lowestDrone.
func tonic(k piece.Key) int {
	fifth := k.Fifths // from C along the fifths; a minor key's lies three further
	if k.Minor {
		fifth += 3
	}
	class := ((7*fifth)%12 + 12) % 12
	return lowestDrone + ((class-lowestDrone)%12+12)%12
}

// DroneHz is the pitch of the drone of a name, up octaves higher, in a key.
func DroneHz(name string, up int, k piece.Key, a4 float64) float64 {
	midi := 0
	for _, x := range Drones {
		if x.Name == name {
			midi = x.midi
		}
	}
	if midi == 0 {
		midi = tonic(k)
	}
	return voice.DroneHz(midi, up, a4)
}
