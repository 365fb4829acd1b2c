package desk

import (
	"testing"
	"time"

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
	plan, err := d.Plan.For(20)
	require.NoError(t, err)
	taken := 0
	for i, it := range plan.Items {
		before := d.Work
		d.Plan.TakeUp(i)
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

// By the right pedal alone: each item is taken up after the one before, which is ticked off;
// its time runs, and when that is over going on stands ready.
func TestThePlanIsGoneThroughByThePedal(t *testing.T) {
	p, err := notation.Read(assets.DemoPieceName, assets.DemoPiece)
	require.NoError(t, err)
	now := time.Date(2031, 3, 4, 9, 0, 0, 0, time.UTC)
	d := New(score.New(p, "demo.musicxml"), Means{Post: func(f func()) { f() }, Folder: t.TempDir(), Now: func() time.Time { return now }})
	for d.Between()[d.At()].Name != "Begin the plan" {
		d.Choose()
		require.NotZero(t, d.At(), "it is among the deeds")
	}
	d.Do()
	plan := d.Plan.Now
	require.NotNil(t, plan)
	assert.Equal(t, 0, plan.At, "something to do, and easy")
	assert.Equal(t, practice.PlayAlone, plan.Items[0].Work)
	assert.Equal(t, "Start", d.Between()[0].Name)
	assert.Contains(t, d.Between()[0].Why, "1 minute left")
	for i := 1; i < len(plan.Items); i++ {
		if plan.Items[i-1].Work != practice.Rest {
			assert.NotEqual(t, "Go on with the plan", d.Between()[0].Name, "its time is not over")
		}
		now = now.Add(time.Duration(plan.Items[i-1].Minutes*60+1) * time.Second)
		assert.Equal(t, "Go on with the plan", d.Between()[0].Name)
		assert.Equal(t, plan.Tell(i), d.Between()[0].Why, "and what comes")
		d.Do()
		assert.Equal(t, i, plan.At)
		assert.True(t, plan.Done[i-1])
	}
	d.Shown = &shelf.Shown{Take: &shelf.Take{}, Hearing: &finding.Hearing{}}
	again, err := d.Plan.For(20)
	require.NoError(t, err)
	assert.Same(t, plan, again, "a take of a few measures does not throw the plan over")
	now = now.Add(time.Hour)
	assert.Equal(t, "End the plan", d.Between()[0].Name)
	d.Do()
	assert.Equal(t, "The plan is done.", d.Result.Says)
	assert.Equal(t, 0, plan.LeftInAll(now))
	for _, deed := range d.Between() {
		assert.NotContains(t, deed.Name, "plan", "there is nothing to go on to")
	}

	d.Plan.Tick(0, false)
	assert.Equal(t, 1, plan.LeftInAll(now), "what is not ticked is still to be done")
	d.Plan.Anew()
	assert.NotSame(t, plan, d.Plan.Now)
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
	before, err := d.Plan.Make(20)
	require.NoError(t, err)
	assert.Empty(t, before.Changed)
	d.Shown = &shelf.Shown{Take: &shelf.Take{}, Hearing: &finding.Hearing{Findings: []finding.Finding{
		{Measure: "3", ToMeasure: "3", Pass: 1, Beat: 1, Kind: finding.Late, Value: 300, Trust: "sure", First: 9, Last: 9}}}}
	after, err := d.Plan.Make(20)
	require.NoError(t, err)
	assert.NotEmpty(t, after.Changed)
	assert.NotEqual(t, before.Items, after.Items)

	d.Dismiss(0, shelf.Reasons()[0])
	agreed, err := d.Plan.Make(20)
	require.NoError(t, err)
	d.Shown = &shelf.Shown{Take: &shelf.Take{}, Hearing: &finding.Hearing{}}
	clean, err := d.Plan.Make(20)
	require.NoError(t, err)
	assert.Equal(t, clean, agreed, "what was put aside asks for no work")
	assert.NotEqual(t, after.Items, agreed.Items)
}
