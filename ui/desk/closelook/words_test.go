package closelook

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece/words/pseudo"
)

func TestEveryWordOfAMeasureLookedAtIsFromTheCatalogue(t *testing.T) {
	defer pseudo.Speak()()
	b := newTable(demoTake(t))
	words := 0
	for m := range b.take.Piece.Measures {
		b.LookCloser(m)
		c := b.Closer()
		require.NotNil(t, c)
		for _, f := range c.Frames {
			for _, w := range f.Words {
				assert.Empty(t, pseudo.Plain(w), w)
				words++
			}
		}
		for _, n := range c.Notes {
			assert.Empty(t, pseudo.Plain(n.Value+" "+n.Late))
		}
	}
	assert.Greater(t, words, 20)
	for _, x := range []playedBar{{try: 1}, {try: 1, given: true}} {
		for _, passes := range []bool{false, true} {
			assert.NotEmpty(t, x.name(passes))
			assert.Empty(t, pseudo.Plain(x.name(passes), "st")) // the end of an ordinal is a sign
		}
	}
	b.Play(Recorded)
	assert.NotEmpty(t, b.message, "there is no loudspeaker")
	assert.Empty(t, pseudo.Plain(b.message))
}
