package desk

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece/finding"
	"endpin/piece/pupil"
	"endpin/ui/desk/work"
)

// What stops the sound is one to what is heard: the player, a microphone pulled out, a
// program that was killed.
func TestNothingIsMarkedAfterTheMeasureInWhichSomebodyStops(t *testing.T) {
	for _, last := range []int{15, 18, 19} { // of a measure, in the midst of it, its last but one
		for _, cut := range []float64{1, 0.3} { // of the last note, as it was held
			s := newStage(t)
			s.bend = func(p *pupil.Performance) {
				p.Plan.Notes = p.Plan.Notes[:last+1]
				p.Plan.Notes[last].Hold *= cut
			}
			h := s.round(t, s.Start)
			for _, f := range h.Findings {
				assert.Equal(t, finding.Stopped, f.Kind, f.Text)
				assert.Equal(t, s.Score.Line[last].Number, f.Measure)
			}
			assert.Equal(t, -1, s.First(), "it is no fault")
			assert.Contains(t, s.Result.Says, "ecording ends in measure")
		}
	}
}

func TestAnAnswerThatBeganABeatEarlyIsToldAsThat(t *testing.T) {
	s := newStage(t)
	require.NoError(t, s.TypeRange("1-4"))
	h := s.round(t, s.Start)
	take, first := *s.Shown.Take, *h.Notes[0].Onset
	beat := 60 / take.QPM
	take.Way = work.Echo
	for early, is := range map[float64]bool{0: false, -0.2: false, 0.2: false, 0.9: true, 2: true, -1: false} {
		click := first + early*beat // when the turn came, s of the take
		take.Click = &click
		assert.Equal(t, is, take.Early(s.Score, h), "%g beats early", early)
	}
	early := first + 2*beat
	take.Click = &early
	s.means.Diary = nil
	s.Again(&take)
	s.pump(t, func() bool { return !s.Judging })
	assert.Equal(t, "You began before your turn; it does not count.", s.Result.Says)
	assert.Empty(t, s.Shown.Hearing.Findings, "nothing else is told of it")
	assert.Empty(t, s.Shown.Take.Clean)
	assert.Equal(t, "begun before your turn", s.Shown.Take.Found)
	take.Click = nil
	assert.False(t, take.Early(s.Score, h), "where no click led, nobody knows")
}
