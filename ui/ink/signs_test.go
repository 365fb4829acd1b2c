package ink

import (
	"os"
	"path/filepath"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/theme"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/font/sfnt"
)

// Where the system has no other fonts, what these lack is a box.
func TestEverySignThatTheWindowWritesIsInAFontThatItBrings(t *testing.T) {
	said := map[rune]bool{'♩': true, '▸': true, '◂': true}
	files, err := filepath.Glob("../../piece/words/catalogue/*.json")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, file := range files {
		text, err := os.ReadFile(file)
		require.NoError(t, err)
		for _, r := range string(text) {
			said[r] = r > '~'
		}
	}
	for _, style := range []fyne.TextStyle{{}, {Bold: true}, {Italic: true}} {
		fonts := []*sfnt.Font{parsed(t, Look{}.Font(style)), parsed(t, theme.DefaultTheme().Font(style))}
		for r, asked := range said {
			assert.True(t, !asked || has(t, fonts[0], r) || has(t, fonts[1], r), "%c (U+%04X) is a box in %+v", r, r, style)
		}
		assert.False(t, has(t, fonts[0], 'a'), "letters are the toolkit's")
	}
}

func parsed(t *testing.T, r fyne.Resource) *sfnt.Font {
	t.Helper()
	f, err := sfnt.Parse(r.Content())
	require.NoError(t, err)
	return f
}

func has(t *testing.T, f *sfnt.Font, r rune) bool {
	t.Helper()
	var buf sfnt.Buffer
	i, err := f.GlyphIndex(&buf, r)
	require.NoError(t, err)
	return i != 0
}
