package practice

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece/notation"
	"endpin/piece/outline"
)

func planOf(t *testing.T, name string) (*outline.Outline, Plan) {
	t.Helper()
	data, err := os.ReadFile("../../testdata/pieces/" + name)
	require.NoError(t, err)
	p, err := notation.Read(name, data)
	require.NoError(t, err)
	o, err := outline.Of(p, outline.Options{})
	require.NoError(t, err)
	return o, For(o, Options{Minutes: 30})
}

// A drill is proposed once, and only of a shift that comes three times or more.
func TestADrillIsProposedWhereAShiftRecurs(t *testing.T) {
	files, err := os.ReadDir("../../testdata/pieces")
	require.NoError(t, err)
	proposed, none := 0, 0
	for _, f := range files {
		if strings.HasSuffix(f.Name(), ".md") {
			continue
		}
		o, plan := planOf(t, f.Name())
		said := 0
		for _, it := range plan.Items {
			if it.Drill != "" {
				said++
				measure, why := drilled(o, it.Range)
				assert.Equal(t, measure, it.Drill, f.Name())
				assert.Contains(t, it.Why, why.String())
			}
		}
		assert.LessOrEqual(t, said, 1, f.Name())
		for _, it := range For(o, Options{Minutes: 30, Drill: true}).Items {
			assert.Empty(t, it.Drill, "no drill of a drill")
		}
		proposed += said
		most := map[[2]string]int{}
		for _, s := range o.Shifts {
			most[[2]string{s.From + s.To, string(rune('0' + s.String))}]++
		}
		recurring := false
		for _, n := range most {
			recurring = recurring || n >= recurs
		}
		if !recurring {
			none++
			assert.Zero(t, said, f.Name())
		}
	}
	assert.Positive(t, proposed)
	assert.Positive(t, none)
}
