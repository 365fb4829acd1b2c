package bringup

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"endpin/dsp"
	"endpin/piece"
	"endpin/piece/finding"
	"endpin/piece/practice"
	"endpin/piece/words/pseudo"
)

func TestABringUpGoesUpAfterCleanTimesAndBackAfterTwoFailures(t *testing.T) {
	s := Begin(practice.BringUp{From: 50, To: 60, Step: 4})
	for range 3 {
		s.Took(true)
	}
	assert.Equal(t, 54.0, s.Tempo)
	s.Took(true)
	s.Took(false)
	assert.Equal(t, 54.0, s.Tempo, "one failure is none")
	s.Took(false)
	assert.Equal(t, 50.0, s.Tempo)
	for range 9 {
		s.Took(true)
	}
	assert.Equal(t, 60.0, s.Tempo, "never above the piece's tempo")
}

func TestATimeThroughThatWasNotHeardForCertainIsNone(t *testing.T) {
	s := Begin(practice.BringUp{From: 50, To: 60, Step: 4, Clean: 1})
	h := &finding.Hearing{Notes: []finding.Note{{Measure: "1", State: finding.StatePlayed, Trust: dsp.NotSure}}}
	s.Heard(&piece.Piece{}, h, nil)
	assert.Equal(t, 50.0, s.Tempo)
	h.Notes[0].Trust = dsp.Sure
	s.Heard(&piece.Piece{}, h, nil)
	assert.Equal(t, 54.0, s.Tempo)
}

func TestEveryWordOfABringUpIsFromTheCatalogue(t *testing.T) {
	defer pseudo.Speak()()
	s := Begin(practice.BringUp{From: 60, To: 90})
	reads := func() {
		t.Helper()
		assert.NotEmpty(t, s.Say())
		assert.Empty(t, pseudo.Plain(s.Say(), s.FloorWhy))
	}
	reads()
	s.Heard(&piece.Piece{}, &finding.Hearing{Findings: []finding.Finding{{Kind: finding.NotSure}}}, nil)
	reads()
	s.Floor, s.FloorWhy = 70, "the bow ends"
	s.GoOn(60)
	reads()
	s.GoOn(72)
	reads()
}
