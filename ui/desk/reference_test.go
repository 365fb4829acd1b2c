package desk

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp"
	"endpin/piece/finding"
	"endpin/piece/tuning"
	"endpin/ui/desk/work"
)

// The demo piece's measures 5 to 7: the hand in third position, and no open string.
func TestAHandBesideItsPlaceInAFewMeasuresIsNoReference(t *testing.T) {
	s := newStage(t)
	s.hand = 35
	require.NoError(t, s.TypeRange("5-7"))
	s.SetWay(work.BringUp)
	h := s.round(t, s.Start)
	assert.Equal(t, dsp.NotSure, h.HeardATrust, "nobody heard what the bass is tuned to")
	assert.Contains(t, s.Result.Beside, "the A that is set, 440 Hz")
	assert.Contains(t, s.Result.Beside, "Check the strings")
	assert.Zero(t, s.Steps.State.Clean, "what nobody can judge is no clean time")

	s.hand = 0
	s.SetWay(work.PlayAlong)
	require.NoError(t, s.TypeRange("all"))
	whole := s.round(t, s.Start)
	require.Equal(t, dsp.Sure, whole.HeardATrust)
	assert.Zero(t, s.asked[1].Given, "a whole take tells its own")

	s.hand = 35
	require.NoError(t, s.TypeRange("5-7"))
	s.SetWay(work.BringUp)
	h = s.round(t, s.Start)
	assert.Contains(t, s.Result.Beside, "The A is that of the whole take")
	assert.InDelta(t, 440, h.HeardA, 1.5)
	assert.Contains(t, kinds(h.Findings), "5 sharp")
	assert.Zero(t, s.Steps.State.Clean)
	s.hand = 0
	s.round(t, s.Start)
	assert.Equal(t, 1, s.Steps.State.Clean)

	again := s.Takes[1] // the one before, from the list
	s.Again(again)
	s.pump(t, func() bool { return !s.Judging })
	assert.Equal(t, again.Given, s.asked[len(s.asked)-1].Given, "judged as it was")
}

func TestARecordingOpenedGivesTheReferenceOfTheWorkOnIt(t *testing.T) {
	s := newStage(t)
	s.from, s.to, s.hand = 13, 21, 35
	s.Open("lesson.wav")
	s.pump(t, func() bool { return s.Shown != nil && !s.Judging })
	require.Equal(t, "Work on this", s.ready(), s.Result.Says)
	s.Do()
	s.hand = 0
	s.round(t, s.Do)
	assert.Contains(t, s.Result.Says, "1 of 3 clean")
	assert.Contains(t, s.Result.Beside, "The A is that of an opened take")
}

// Measures 7 and 8 put the hand in two places, measures 5 to 7 in one.
func TestHomeworkOfAFewMeasuresCountsBeforeAnythingElseWasPlayed(t *testing.T) {
	s := newStage(t)
	require.NoError(t, s.TypeRange("7-8"))
	s.SetWay(work.BringUp)
	h := s.round(t, s.Start)
	assert.Equal(t, dsp.Fair, h.HeardATrust)
	assert.Equal(t, 1, s.Steps.State.Clean)
	assert.Equal(t, "Start", s.ready())
}

func TestWhereNothingTellsTheATheStringsAreReadyToBeChecked(t *testing.T) {
	s := newStage(t)
	checks := 0
	s.Strings = func() {
		checks++
		host{s.Desk}.Checked(tuning.Outcome{A4: 440, Strings: []tuning.Reading{{Trust: dsp.Sure}, {Trust: dsp.Sure}}})
	}
	s.hand = 35
	require.NoError(t, s.TypeRange("5-7"))
	s.SetWay(work.BringUp)
	assert.Equal(t, "Start", s.ready())
	s.round(t, s.Do)
	require.Equal(t, "Check the strings", s.ready(), s.Result.Says)
	assert.Equal(t, "then a few measures can be judged", s.Between()[s.At()].Why)
	s.Do()
	assert.Equal(t, 1, checks)
	assert.Equal(t, "Start", s.ready())
	s.hand = 0
	s.round(t, s.Do)
	assert.Equal(t, 1, s.Steps.State.Clean)
}

func TestTheOneNoteInTuneIsNotBlamedInAnEcho(t *testing.T) {
	s := newStage(t)
	s.hand = 35
	require.NoError(t, s.TypeRange("4-5")) // the D of measure 4 is an open string
	s.SetWay(work.PlayAlong)
	for _, known := range []bool{false, true} {
		if known {
			host{s.Desk}.Checked(tuning.Outcome{A4: 440, Strings: []tuning.Reading{{Trust: dsp.Sure, Cents: 1}, {Trust: dsp.Sure}, {Trust: dsp.Sure, Cents: -1}}})
		}
		h := s.round(t, s.Start)
		for _, f := range h.Findings {
			assert.NotContains(t, []finding.Kind{finding.Flat, finding.FlatAfterShift}, f.Kind, f.Text)
			assert.True(t, known || f.Trust == dsp.NotSure, f.Text)
		}
		if known {
			assert.Contains(t, kinds(h.Findings), "5 sharp_after_shift")
			assert.Contains(t, s.Result.Beside, "The A is that of the check of the strings")
		}
	}
}
