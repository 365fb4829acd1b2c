package fingerboard

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// One-octave scales as a beginner is taught them in the 1-2-4 system.
//
// "Switching to the Double Bass" (fowlerbass.com): chapter 2 teaches D and A,
// chapter 4 F and B-flat: "Just like D, A, and E Major, F and Bb Major use the
// same fingering system", the latter two "go across 3 strings without shifting"
// in half position. D, A and E begin on an open string in first position and end
// in third, on the D string for A ("On the D string, our 1st finger plays the
// note G … 2nd finger plays G sharp … And 4th finger plays A"): so fingers one
// who plays in first and third only.
// G: F. Simandl, "New Method for the Double Bass", major scales (from memory).
func TestScalesAreFingeredAsTheyAreTaught(t *testing.T) {
	firstAndThird := []string{"1", "3"}
	for _, scale := range []struct {
		name, notes, fingers string
		positions            []string
	}{
		{"G major", "G1 A1 B1 C2 D2 E2 F#2 G2", "1:2 0 1 2 0 1 4 0", nil},
		{"F major", "F1 G1 A1 Bb1 C2 D2 E2 F2", "half:1 4 0 1 4 0 2 4", nil},
		{"B-flat major", "Bb1 C2 D2 Eb2 F2 G2 A2 Bb2", "half:1 4 0 1 4 0 2 4", nil},
		{"D major", "D2 E2 F#2 G2 A2 B2 C#3 D3", "0 1:1 4 0 1 4 3:2 4", nil},
		{"A major", "A1 B1 C#2 D2 E2 F#2 G#2 A2", "0 1:1 4 0 1 4 3:2 4", firstAndThird},
		{"E major", "E1 F#1 G#1 A1 B1 C#2 D#2 E2", "0 1:1 4 0 1 4 3:2 4", firstAndThird},
	} {
		t.Run(scale.name, func(t *testing.T) {
			p := DoubleBass().Finger(tune(t, scale.notes), Options{Positions: scale.positions})
			assert.Equal(t, scale.fingers, fingers(p))
		})
	}
}
