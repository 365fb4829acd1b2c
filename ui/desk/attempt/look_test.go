package attempt

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp"
	"endpin/piece/finding"
	"endpin/piece/notation"
	"endpin/ui/desk/score"
	"endpin/ui/desk/work"
)

// Of a range each measure is played once: over a repeat, whoever takes it would have begun again.
func TestALookOverARepeatLooksThroughAllThatIsRepeated(t *testing.T) {
	for _, c := range []struct{ music, measures string }{
		{"|: C,2D,2 | E,2D,2 :| F,2E,2 | D,2C,2 | C,2E,2 | D,2F,2 | E,2D,2 | C,2D,2 | E,2F,2 | D,2E,2 | C,2F,2 | C,4 |]", ""},
		{"C,2D,2 | E,2D,2 | F,2E,2 | D,2C,2 | C,2E,2 | D,2F,2 | E,2D,2 | C,2D,2 | E,2F,2 | D,2E,2 | C,2F,2 | C,4 |]", "1-10"},
	} {
		p, err := notation.Read("repeat.abc", []byte("X:1\nT:Twice\nM:4/4\nL:1/4\nQ:1/4=60\nK:C bass\n"+c.music+"\n"))
		require.NoError(t, err)
		w := work.Work{Way: work.PlayAlone, Last: len(p.Measures) - 1, QPM: 60, Silence: 4}
		a, err := New(score.New(p, "repeat.abc"), w, finding.Options{}, 8000, 0)
		require.NoError(t, err)
		a.looks.reach = 1
		assert.Equal(t, c.measures, a.lately(&dsp.Heard{}).opts.Measures)
	}
}
