package desk

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/ui/desk/score"
	"endpin/ui/desk/work"
)

func TestBowingSilentlyCuesFromTheCountInToTheEndAndKeepsNoTake(t *testing.T) {
	b := newBench(t)
	b.means.Card = nil
	require.NoError(t, b.TypeRange("5-6"))
	b.SetWay(work.BowSilently)
	_, ok := b.Cueing()
	assert.False(t, ok)
	b.SetQPM(score.HighestQPM)
	b.Start()
	require.True(t, b.Running)
	c, ok := b.Cueing()
	require.True(t, ok)
	assert.True(t, c.Counting)
	assert.Nil(t, c.Now)
	require.NotNil(t, c.Next)
	first := c.Next.Note
	seen := map[int]bool{}
	b.pump(t, func() bool {
		if c, ok := b.Cueing(); ok && c.Now != nil {
			seen[c.Now.Note] = true
		}
		return !b.Running
	})
	assert.True(t, seen[first])
	assert.GreaterOrEqual(t, len(seen), 4)
	assert.Empty(t, b.Takes)
	_, ok = b.Cueing()
	assert.False(t, ok)
}
