package planned

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/assets"
	"endpin/piece/finding"
	"endpin/piece/notation"
	"endpin/piece/outline"
	"endpin/piece/practice"
)

// table is a desk with the demo piece, and what the plan set it to.
type table struct {
	t        *testing.T
	now      time.Time
	busy     bool
	worked   []practice.Item
	rests    int
	ended    bool
	outlined error
}

func (h *table) Changed()                 {}
func (h *table) Now() time.Time           { return h.now }
func (h *table) Playing() bool            { return h.busy }
func (h *table) Hearing() bool            { return false }
func (h *table) Drilling() bool           { return false }
func (h *table) Agreed() *finding.Hearing { return nil }
func (h *table) Work(it practice.Item)    { h.worked = append(h.worked, it) }
func (h *table) Rest()                    { h.rests++ }
func (h *table) Ended()                   { h.ended = true }
func (h *table) Outline() (*outline.Outline, error) {
	if h.outlined != nil {
		return nil, h.outlined
	}
	p, err := notation.Read(assets.DemoPieceName, assets.DemoPiece)
	require.NoError(h.t, err)
	return outline.Of(p, outline.Options{})
}

func sitting(t *testing.T) (*table, *Plan) {
	h := &table{t: t, now: time.Date(2026, 11, 25, 17, 0, 0, 0, time.UTC)}
	return h, New(h)
}

func TestTheWholePlanIsGoneThroughByGoingOn(t *testing.T) {
	h, x := sitting(t)
	name, _, due, ok := x.Deed()
	assert.Equal(t, []any{"Begin the plan", false, true}, []any{name, due, ok})
	x.GoOn()
	p, rests := x.Now, 0
	for i, it := range p.Items {
		if i > 0 {
			x.GoOn()
		}
		assert.Equal(t, i, p.At)
		if it.Work == practice.Rest {
			rests++
		}
	}
	assert.Len(t, h.worked, len(p.Items)-rests)
	assert.Equal(t, rests, h.rests, "a rest is rested, not played")
	assert.False(t, h.ended)
	x.GoOn()
	assert.True(t, h.ended)
	assert.NotContains(t, p.Done, false)
	_, _, _, ok = x.Deed()
	assert.False(t, ok, "nothing is left to go on to")
}

func TestTheTimeOfAnItemRunsFromWhenItWasTakenUp(t *testing.T) {
	h, x := sitting(t)
	assert.Empty(t, x.Left())
	p, err := x.For(20)
	require.NoError(t, err)
	all := p.LeftInAll(h.now)
	assert.Equal(t, p.Needs(), all)
	x.TakeUp(1)
	minutes := p.Items[1].Minutes
	h.now = h.now.Add(time.Duration((minutes - 1.5) * float64(time.Minute)))
	assert.Equal(t, "2 minutes left", x.Left(), "a minute that began counts")
	_, _, due, _ := x.Deed()
	assert.False(t, due)
	h.now = h.now.Add(2 * time.Minute)
	assert.Equal(t, "its time is over", x.Left())
	_, _, due, _ = x.Deed()
	assert.True(t, due)
	assert.Equal(t, all-int(minutes), p.LeftInAll(h.now))
}

func TestAPlanThatWasBegunStaysAndOneThatWasNotIsMadeAnew(t *testing.T) {
	_, x := sitting(t)
	first, err := x.For(0)
	require.NoError(t, err)
	assert.Equal(t, 20, first.Minutes, "as long as most sit")
	again, err := x.For(20)
	require.NoError(t, err)
	assert.NotSame(t, first, again)
	x.Tick(0, true)
	begun, err := x.For(20)
	require.NoError(t, err)
	assert.Same(t, again, begun)
	longer, err := x.For(30)
	require.NoError(t, err)
	assert.Equal(t, 30, longer.Minutes)
	assert.True(t, longer.Done[0], "what was done stays done in a longer one")
	x.Anew()
	assert.Equal(t, 30, x.Now.Minutes)
	assert.True(t, x.Now.Done[0])
}

func TestNothingIsTakenUpWhileATakeIsPlayedNorFromOutsideThePlan(t *testing.T) {
	h, x := sitting(t)
	x.TakeUp(0)
	x.Tick(0, true)
	x.Anew()
	assert.Nil(t, x.Now, "nobody asked for one")
	p, err := x.For(10)
	require.NoError(t, err)
	h.busy = true
	x.TakeUp(0)
	h.busy = false
	x.TakeUp(-1)
	x.TakeUp(len(p.Items))
	assert.Empty(t, h.worked)
	assert.False(t, p.Begun())
}

func TestATickThatIsTakenBackPutsTheItemBackIntoThePlan(t *testing.T) {
	_, x := sitting(t)
	p, err := x.For(20)
	require.NoError(t, err)
	x.TakeUp(0)
	x.Tick(0, true)
	assert.Equal(t, -1, p.At, "what is done is not at hand any more")
	assert.Equal(t, 1, p.Next())
	x.Tick(0, false)
	assert.Equal(t, 0, p.Next())
}

func TestAPieceThatCannotBePlannedIsNoPlan(t *testing.T) {
	h, x := sitting(t)
	h.outlined = assert.AnError
	_, err := x.For(20)
	assert.ErrorIs(t, err, assert.AnError)
	x.GoOn()
	assert.Empty(t, h.worked)
	assert.False(t, h.ended)
}
