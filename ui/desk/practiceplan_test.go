package desk

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/assets"
	"endpin/piece/finding"
	"endpin/piece/notation"
	"endpin/piece/practice"
	"endpin/ui/desk/score"
	"endpin/ui/desk/shelf"
	"endpin/ui/desk/work"
)

func TestAnItemOfThePlanSetsMeasuresWayAndTempo(t *testing.T) {
	p, err := notation.Read(assets.DemoPieceName, assets.DemoPiece)
	require.NoError(t, err)
	d := New(score.New(p, "demo.musicxml"), Means{Post: func(f func()) { f() }, Folder: t.TempDir()})
	plan, err := d.PracticePlan(20)
	require.NoError(t, err)
	taken := 0
	for _, it := range plan.Items {
		before := d.Work
		d.TakeUp(it)
		if it.Work == practice.Rest {
			assert.Equal(t, before, d.Work, "a rest leaves the desk as it is")
			continue
		}
		taken++
		assert.Equal(t, it.Measures[0], p.Measures[d.Work.First].Number)
		assert.Equal(t, it.Measures[1], p.Measures[d.Work.Last].Number)
		assert.Equal(t, it.TempoFrom, d.Work.QPM)
		if it.Work == practice.WorkUp {
			assert.Equal(t, work.BringUp, d.Work.Way)
			assert.Equal(t, [3]float64{it.TempoFrom, it.TempoTo, it.Step}, [3]float64{d.Steps.From, d.Steps.To, d.Steps.Step})
		}
	}
	assert.Greater(t, taken, 3)
}

func TestTheDeskSaysWhereTwoFingeringsLieAsNear(t *testing.T) {
	tune := "X:1\nT:Test\nM:4/4\nL:1/4\nQ:1/4=80\nK:C clef=bass\nG,A,B,C|B,2A,2|G,F,E,D,|C,4|\n"
	p, err := notation.Read("tune.abc", []byte(tune))
	require.NoError(t, err)
	d := New(score.New(p, "tune.abc"), Means{Post: func(f func()) { f() }, Folder: t.TempDir()})
	require.NotEmpty(t, d.OtherFingerings())
	assert.Regexp(t, `^Measure 1, from beat [1-4]: .* lies as near\.$`, d.OtherFingerings()[0].Said())
}

func TestThePlanStartsFromTheTakeThatIsShown(t *testing.T) {
	p, err := notation.Read(assets.DemoPieceName, assets.DemoPiece)
	require.NoError(t, err)
	d := New(score.New(p, "demo.musicxml"), Means{Post: func(f func()) { f() }, Folder: t.TempDir()})
	before, err := d.PracticePlan(20)
	require.NoError(t, err)
	assert.Empty(t, before.Changed)
	d.Shown = &shelf.Shown{Take: &shelf.Take{}, Hearing: &finding.Hearing{Findings: []finding.Finding{
		{Measure: "3", ToMeasure: "3", Pass: 1, Beat: 1, Kind: finding.Late, Value: 300, Trust: "sure", First: 9, Last: 9}}}}
	after, err := d.PracticePlan(20)
	require.NoError(t, err)
	assert.NotEmpty(t, after.Changed)
	assert.NotEqual(t, before.Items, after.Items)

	d.Dismiss(0, shelf.Reasons()[0])
	agreed, err := d.PracticePlan(20)
	require.NoError(t, err)
	d.Shown = &shelf.Shown{Take: &shelf.Take{}, Hearing: &finding.Hearing{}}
	clean, err := d.PracticePlan(20)
	require.NoError(t, err)
	assert.Equal(t, clean, agreed, "what was put aside asks for no work")
	assert.NotEqual(t, after.Items, agreed.Items)
}
