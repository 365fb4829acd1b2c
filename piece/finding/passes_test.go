package finding_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece/finding"
)

func TestNoPassChangesTheEvidence(t *testing.T) {
	for name, p := range map[string]*player{
		"another rhythm, which the beat is found anew without":   play(t, eighths).uneven(3, 0.75).late(250, "8:2"),
		"soft notes in a hall, which the beat is found without":  play(t, harbour).late(170, "9:2").late(170, "9:3").late(170, "10:1").hall(14).softly("9:2", "9:3", "10:1"),
		"a hand off its place, a note too many, and a beat lost": play(t, harbour).detune(30, 10, 11).putIn(50, 0.5, 0.5, "5:1").putOff(1, "8:1"),
	} {
		names := map[string]bool{}
		require.NoError(t, finding.EachPass(p.piece, p.heard(), finding.Options{}, func(pass, why string, same bool) {
			assert.True(t, same, "%s: %s", name, pass)
			assert.NotEmpty(t, why, pass)
			assert.False(t, names[pass], "two passes are called %s", pass)
			names[pass] = true
		}))
	}
}
