package notation_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece"
	"endpin/piece/notation"
)

func read(t *testing.T, name string, opts ...notation.Option) *piece.Piece {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("../../testdata/pieces", name))
	require.NoError(t, err)
	p, err := notation.Read(name, data, opts...)
	require.NoError(t, err)
	return p
}

// Every fixture lies in the range that its README promises.
func TestEveryTuneLiesUnderAStudentsHand(t *testing.T) {
	files, err := filepath.Glob("../../testdata/pieces/*.*")
	require.NoError(t, err)
	tunes := 0
	for _, f := range files {
		if filepath.Ext(f) == ".md" {
			continue
		}
		tunes++
		p := read(t, filepath.Base(f))
		line, played := p.Line()
		assert.GreaterOrEqual(t, len(played), 8, f)
		assert.Equal(t, -12, p.Transposed, f)
		for _, n := range line {
			assert.GreaterOrEqual(t, n.MIDI, 28, "%s measure %s", f, n.Number) // E1
			assert.LessOrEqual(t, n.MIDI, 50, "%s measure %s", f, n.Number)    // D3
		}
		for i := range p.Measures {
			m := &p.Measures[i]
			whole := m.Time.Beat() * piece.Ticks(m.Time.Beats)
			if i == len(p.Measures)-1 && m.Length < whole { // completes the pickup
				assert.Equal(t, whole, p.Measures[0].Length+m.Length, "%s measure %s", f, m.Number)
			} else if !m.Implicit {
				assert.Equal(t, whole, m.Length, "%s measure %s", f, m.Number)
			}
		}
	}
	assert.GreaterOrEqual(t, tunes, 10)
}
