package desk

import (
	"testing"

	"endpin/piece/homework"
	"endpin/ui/desk/remembered"
	"endpin/ui/desk/work"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestOtherMeasuresAreBroughtUpFromTheirOwnBeginning(t *testing.T) {
	b := newBench(t)
	b.SetWay(work.BringUp)
	require.NoError(t, b.TypeRange("13-16"))
	last := b.Steps
	assert.NotEmpty(t, last.FloorWhy, "measure 16 is one long bow")
	assert.Equal(t, b.Work.QPM, last.Tempo)
	require.NoError(t, b.TypeRange("9-12"))
	assert.NotEqual(t, last.Floor, b.Steps.Floor, "other bows, another floor")
	assert.Equal(t, b.Work.QPM, b.Steps.Tempo)
	b.Steps.Took(true)
	clean := b.Steps.State
	require.NoError(t, b.TypeRange("9-12"))
	assert.Equal(t, clean, b.Steps.State, "the same measures go on")
}

func TestATempoAskedForIsWhereTheBringUpGoesOn(t *testing.T) {
	b := newBench(t)
	require.NoError(t, b.TypeRange("13-16"))
	b.SetWay(work.BringUp)
	b.SetQPM(66)
	assert.Equal(t, 66.0, b.Steps.Tempo)
	assert.Equal(t, "♩ = 66 on the way to 84.", b.Steps.Say()[:len("♩ = 66 on the way to 84.")])
	b.SetQPM(20)
	assert.Equal(t, b.Steps.Floor, b.Work.QPM, "no slower than the bow lasts")
	assert.Equal(t, "Not slower: "+b.Steps.FloorWhy, b.Steps.NotSlower())
	assert.Contains(t, b.Steps.FloorWhy, "measure 16")
}

func TestALongerBowLetsABringUpBeginSlower(t *testing.T) {
	b := newBench(t)
	require.NoError(t, b.TypeRange("13-16"))
	b.Change(func(s *remembered.Settings) { s.Level = "first-year" })
	b.SetWay(work.BringUp)
	floor := b.Steps.Floor
	assert.Equal(t, floor, b.Work.QPM, "no slower than the bow lasts")
	b.Change(func(s *remembered.Settings) { s.LongestBow = 2 * s.Bow().Longest })
	assert.InDelta(t, floor/2, b.Steps.Floor, 1, "half the tempo takes twice the bow")
	assert.Less(t, b.Work.QPM, floor)
}

func TestTheTempoOfABringUpStaysInIt(t *testing.T) {
	b := newBench(t)
	piece := b.Work.QPM
	b.SetWay(work.BringUp)
	require.Less(t, b.Work.QPM, piece)
	b.SetWay(work.PlayAlong)
	assert.Equal(t, piece, b.Work.QPM)
	b.SetQPM(70)
	b.SetWay(work.Echo)
	assert.Equal(t, 70.0, b.Work.QPM, "one that was asked for stays")
}

func TestTheTempoOfHomeworkStaysInEveryWay(t *testing.T) {
	b := newBench(t)
	s := demoScore(t)
	s.File, s.Homework = "stairs.endpin", &homework.File{Homework: homework.Homework{Work: string(work.BringUp), Measures: "5-8", QPM: 60}}
	b.Put(s)
	require.Equal(t, 60.0, b.Work.QPM)
	b.SetWay(work.PlayAlone)
	assert.Equal(t, 60.0, b.Work.QPM)
	b.SetQPM(66)
	b.SetWay(work.BringUp)
	b.SetWay(work.Echo)
	assert.Equal(t, 66.0, b.Work.QPM, "and so one that was asked for")
}
