package manuscript_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece"
	"endpin/piece/manuscript"
	"endpin/piece/notation"
)

// tunes are three of our own, with the keys that somebody presses who knows them. What
// stands over the page (key, metre, pickup) is chosen before.
var tunes = []struct {
	file   string
	key    piece.Key
	time   piece.Time
	pickup piece.Ticks
	keys   string
}{
	{"late_bus.abc", piece.Key{Fifths: 1}, piece.Time{Beats: 4, Unit: 4}, 0,
		"gabg c.b2a 4bagf e.f2g 4gabd e.d2c 8ba4gaf 1g"},
	{"cellar_waltz.abc", piece.Key{Fifths: -1, Minor: true}, piece.Time{Beats: 3, Unit: 4}, piece.Quarter,
		"ao def 2g8fe 4fda 2b4a gab agf 2e4cs 2d. 4ded cba bcd 2a4g fga bag acse 2d."},
	{"wheel_of_cheese.abc", piece.Key{Fifths: -1}, piece.Time{Beats: 6, Unit: 8}, 0,
		"f4ac 8bag5a 8gab4ca 5gc f4ac 8dcb5a 8bag4cg 2f."},
}

// To be reached: at most 1.5 key strokes a note, lengths and bar lines in.
func TestATuneIsWrittenWithOneAndAHalfKeyStrokesANote(t *testing.T) {
	for _, x := range tunes {
		data, err := os.ReadFile(filepath.Join("testdata", x.file))
		require.NoError(t, err)
		printed, err := notation.Read(x.file, data)
		require.NoError(t, err)
		m := page()
		m.SetKey(x.key)
		m.SetTime(x.time)
		m.SetPickup(x.pickup)
		strokes := typed(t, m, x.keys)
		assert.Equal(t, read(manuscript.Of(printed, "bass")), read(m), x.file)
		notes := m.Notes()
		t.Logf("%s: %d key strokes, %d notes: %.2f", x.file, strokes, notes, float64(strokes)/float64(notes))
		assert.LessOrEqual(t, float64(strokes)/float64(notes), 1.5, x.file)
	}
}
