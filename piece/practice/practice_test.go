package practice

import (
	"os"
	"path/filepath"
	"testing"

	"endpin/dsp"
	"endpin/piece/finding"
	"endpin/piece/notation"
	"endpin/piece/outline"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func outlined(t *testing.T, name string, o outline.Options) *outline.Outline {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("..", "..", "testdata", "pieces", name))
	require.NoError(t, err)
	p, err := notation.Read(name, data)
	require.NoError(t, err)
	out, err := outline.Of(p, o)
	require.NoError(t, err)
	return out
}

func TestThreeCleanTimesTakeAStepAndTwoFailuresGoBack(t *testing.T) {
	b := BringUp{From: 60, To: 66, Floor: 58, FloorWhy: "the bow is long."}
	s := b.Start()
	for range 3 {
		s = b.Next(s, true)
	}
	assert.Equal(t, 64.0, s.Tempo)
	s = b.Next(b.Next(s, false), false)
	assert.Equal(t, 60.0, s.Tempo)
	s = b.Next(b.Next(s, false), false)
	assert.Equal(t, 58.0, s.Tempo, "never below the floor")
	s = b.Next(b.Next(s, false), false)
	assert.Equal(t, 58.0, s.Tempo)
	assert.Contains(t, s.Said, "the bow is long")
	for range 9 {
		s = b.Next(s, true)
	}
	assert.True(t, s.Done)
	assert.Equal(t, 66.0, s.Tempo)
}

func TestOneFailureBetweenCleanTimesBeginsTheCountAgain(t *testing.T) {
	b := BringUp{From: 60, To: 80}
	s := b.Next(b.Next(b.Start(), true), true)
	s = b.Next(b.Next(s, false), true)
	assert.Equal(t, 60.0, s.Tempo)
	assert.Equal(t, 1, s.Clean)
}

// Harbor Steps ends on a whole note on the E string: 4 quarter notes in at most
// 3 seconds are 80 quarter notes a minute.
func TestTheLongestBowSetsTheFloor(t *testing.T) {
	out := outlined(t, "harbor_steps.musicxml", outline.Options{})
	floor, why := Floor(out, outline.Range{First: 15, Last: 15})
	assert.Equal(t, 80.0, floor)
	assert.Contains(t, why, "measure 16 is 4 quarter notes long, and one bow lasts about 3 seconds on the lowest string")
}

func TestEveryPlanKeepsItsMinutesAndRests(t *testing.T) {
	for _, name := range []string{"harbor_steps.musicxml", "mill_wheel.musicxml", "cart_track.abc", "ferry_bell.musicxml", "lamplight.musicxml"} {
		for _, minutes := range []int{10, 20, 30} {
			plan := For(outlined(t, name, outline.Options{}), Options{Minutes: minutes})
			sum, rests := 0.0, 0
			for _, it := range plan.Items {
				sum += it.Minutes
				if it.Work == Rest {
					rests++
				}
				assert.LessOrEqual(t, it.TempoFrom, it.TempoTo)
				assert.GreaterOrEqual(t, it.TempoTo, it.Floor*float64(b2i(it.Work == WorkUp)))
				assert.NotEmpty(t, it.Why)
			}
			assert.LessOrEqual(t, sum, float64(minutes), name)
			assert.Equal(t, 1, rests)
			assert.Contains(t, plan.Caution, "hurts")
		}
	}
}

func b2i(b bool) int {
	if b {
		return 1
	}
	return 0
}

func TestWhatWasHeardGoesBeforeWhatWasGuessed(t *testing.T) {
	out := outlined(t, "mill_wheel.musicxml", outline.Options{})
	h := &finding.Hearing{Findings: []finding.Finding{
		{Measure: "12", ToMeasure: "12", Kind: finding.Late, Trust: dsp.Sure},
		{Measure: "2", ToMeasure: "2", Kind: finding.Flat, Trust: dsp.NotSure},
	}}
	plan := For(out, Options{Hearings: []*finding.Hearing{h}})
	var worked []string
	for _, it := range plan.Items {
		if it.Work == WorkUp {
			worked = append(worked, it.Measures[0])
		}
	}
	require.NotEmpty(t, worked)
	assert.Equal(t, "12", worked[0])
	assert.Contains(t, plan.Changed[1], "Added, though easy by the page, since something was heard there: measure 12")
}
