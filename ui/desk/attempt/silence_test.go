package attempt

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp"
	"endpin/piece/finding"
	"endpin/piece/notation"
	"endpin/ui/desk/score"
	"endpin/ui/desk/timetable"
	"endpin/ui/desk/work"
)

// Two notes, three measures of rest, two notes: the rest is longer than the
// silence that ends a take.
const resting = "X:1\nT:Long rest\nM:4/4\nL:1/4\nQ:1/4=60\nK:C bass\nC,2D,2|z4|z4|z4|E,2D,2|]\n"

func TestALongRestDoesNotEndATake(t *testing.T) {
	p, err := notation.Read("rest.abc", []byte(resting))
	require.NoError(t, err)
	s := score.New(p, "rest.abc")
	for _, way := range []work.Way{work.PlayAlong, work.PlayAlone} {
		w := work.Work{Way: way, Last: 4, QPM: 60, CountIn: 1, Silence: 4}
		table := timetable.New(s, w)
		a, err := New(s, w, finding.Options{A4: 440, Level: finding.Intermediate, Intonation: finding.Equal}, 22050, 0)
		require.NoError(t, err)
		x := make([]float32, 22050*40)
		for _, at := range []float64{0, 2, 16, 18} {
			tone := dsp.Tone{Freq: dsp.Steady(dsp.Hz(40)), Partials: dsp.Sawtooth, Seconds: 1.9, Rate: 22050}.Samples()
			copy(x[int((table.Start+at)*22050):], tone)
		}
		dsp.Noise(x, -70, 1)
		for i := 0; i+441 <= len(x) && a.Phase() != Ended; i += 441 {
			a.Push(x[i : i+441])
		}
		assert.Equal(t, Ended, a.Phase(), way)
		assert.Greater(t, a.Time(), table.Start+20, "%s: not before the last note", way)
		if way == work.PlayAlong {
			assert.Less(t, a.Time(), table.Start+25, "and four seconds after it")
		}
	}
}

func TestAnAnswerIsHeardFromTwoBeatsBeforeItsTurnAndNothingOfWhatTheDeskPlays(t *testing.T) {
	s := demoScore(t)
	for countIn, before := range map[int]float64{0: turnMargin, 1: 1.5} { // quarters at 80
		a, err := New(s, work.Work{Way: work.Echo, First: 4, Last: 4, QPM: 80, CountIn: countIn, Silence: 4}, finding.Options{A4: 440, Level: finding.Intermediate, Intonation: finding.Equal}, 8000, 0)
		require.NoError(t, err)
		begins := -1.0
		for begins < 0 {
			a.Push(make([]float32, 80))
			if a.Wanted() {
				begins = a.Time()
			}
		}
		assert.InDelta(t, a.Table().Turn-before, begins, 0.011)
	}
}
