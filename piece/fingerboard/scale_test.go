package fingerboard

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// One-octave scales as a beginner is taught them in the 1-2-4 system. That F and
// B-flat lie in half position without a shift, fingered alike, and that D ends
// in third: "Switching to the Double Bass", chapters 2 and 4
// (fowlerbass.com). G: common practice, no source.
func TestScalesAreFingeredAsTheyAreTaught(t *testing.T) {
	for _, scale := range []struct{ name, notes, fingers string }{
		{"G major", "G1 A1 B1 C2 D2 E2 F#2 G2", "1:2 0 1 2 0 1 4 0"},
		{"F major", "F1 G1 A1 Bb1 C2 D2 E2 F2", "half:1 4 0 1 4 0 2 4"},
		{"B-flat major", "Bb1 C2 D2 Eb2 F2 G2 A2 Bb2", "half:1 4 0 1 4 0 2 4"},
		{"D major", "D2 E2 F#2 G2 A2 B2 C#3 D3", "0 1:1 4 0 1 4 3:2 4"},
	} {
		t.Run(scale.name, func(t *testing.T) {
			p := DoubleBass().Finger(tune(t, scale.notes), Options{})
			assert.Equal(t, scale.fingers, fingers(p))
		})
	}
}
