package desk

import (
	"testing"

	"endpin/ui/desk/remembered"
	"endpin/ui/desk/shelf"
	"endpin/ui/desk/work"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestTheStringsAreCheckedAtTheDesksReferenceBeforeItsFirstTake(t *testing.T) {
	b := newBench(t) // no sound card, and a demo take that would play
	tuner := NewTuner(b.Desk)
	b.CutOff = &shelf.Take{}
	assert.False(t, tuner.Offer(), "a take that was cut off comes first")
	b.CutOff = nil
	require.True(t, tuner.Offer())
	b.SetWay(work.PlayAlone)
	b.Start()
	require.True(t, b.Running)
	tuner.Enter()
	assert.False(t, tuner.Open, "not while an attempt goes on")
	b.pump(t, func() bool { return b.Shown != nil })
	assert.False(t, tuner.Offer())

	tuner.Enter()
	assert.False(t, tuner.Hears, "nothing plays in the place of the bass")
	tuner.SetA4(442)
	kept, err := remembered.Load(b.means.Settings)
	require.NoError(t, err)
	assert.Equal(t, 442.0, kept.A4)
	tuner.Leave()
}
