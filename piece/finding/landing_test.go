package finding_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece/finding"
)

// landingIn gives the landing in a measure.
func landingIn(t *testing.T, h *finding.Hearing, measure string) finding.Landing {
	t.Helper()
	for _, l := range h.Landings {
		if l.Measure == measure {
			return l
		}
	}
	require.Fail(t, "no landing", measure)
	return finding.Landing{}
}

func TestEveryShiftTellsWhereItLanded(t *testing.T) {
	p := play(t, harbour)
	p.detune(30, p.in(6, 7, p.stopped)...)
	h := p.listen()
	l := landingIn(t, h, "6")
	assert.InDelta(t, 30, l.Cents, 1)
	assert.Equal(t, "1", l.From)
	assert.Equal(t, "3", l.To)
	assert.Positive(t, l.Semitones, "toward the bridge")
	assert.InDelta(t, h.TempoHeard, l.QPM, 2)
	assert.Equal(t, finding.Listening, h.Listening)
	assert.InDelta(t, 0, landingIn(t, h, "3").Cents, 1, "the others landed where they should")
}

func TestAShiftWhoseNoteWasNotPlayedHasNoLanding(t *testing.T) {
	whole := play(t, harbour).listen()
	p := play(t, harbour)
	p.leaveOut(p.at("6:1"))
	h := p.listen()
	assert.Len(t, h.Landings, len(whole.Landings)-1)
}
