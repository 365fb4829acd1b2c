package timetable

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/assets"
	"endpin/piece/notation"
	"endpin/ui/desk/score"
	"endpin/ui/desk/work"
)

func demoScore(t testing.TB) *score.Score {
	t.Helper()
	p, err := notation.Read(assets.DemoPieceName, assets.DemoPiece)
	require.NoError(t, err)
	return score.New(p, "demo.musicxml")
}

func TestTheCountInIsAMeasureAndTheCursorBeginsAfterIt(t *testing.T) {
	s := demoScore(t)
	table := New(s, work.Work{Way: work.PlayAlong, First: 4, Last: 7, QPM: 60, CountIn: 1})
	assert.Equal(t, 4.0, table.Start)
	assert.Equal(t, 20.0, table.End)
	assert.Len(t, table.Beats, 20)
	assert.Equal(t, 3, table.Count(2.5))
	_, _, ok := table.Place(3.9)
	assert.False(t, ok)
	m, share, ok := table.Place(10)
	assert.True(t, ok)
	assert.Equal(t, 5, m)
	assert.InDelta(t, 0.5, share, 1e-9)
}
