package outside_test

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece/outside"
)

// hostile are texts that do more than stand there.
var hostile = map[string]string{
	"Gate\x1b[31m Song":           "Gate[31m Song",
	"Gate\x9b31m\u009b31mSong":    "Gate31m31mSong", // ESC [ in one character (ECMA-48)
	"Gate\u202egnoS":              "GategnoS",       // writes from right to left from here
	"Gate\u2066\u2069 Song":       "Gate Song",
	"Gate\r\nendpin: all is well": "Gate endpin: all is well",
	"Gate\u2028Song\x00\x07":      "Gate Song",
	" \t Gate  Song\n":            "Gate Song",
	"李 Rene\u0301 \u05d0\u05d1":   "李 Rene\u0301 \u05d0\u05d1",
	"👩\u200d🏫 می\u200cخواهم":      "👩\u200d🏫 می\u200cخواهم",
}

func TestTextFromOutsideStandsOnOneLine(t *testing.T) {
	for from, want := range hostile {
		assert.Equal(t, want, outside.Line(from), "%q", from)
		for _, r := range outside.Cell(from) {
			assert.False(t, unicode.IsControl(r), "%q", from)
		}
	}
	assert.Equal(t, "Bourrée…", outside.Short("Bourrée\n anglaise", 7))
	assert.Equal(t, "Bourrée", outside.Short("Bourrée", 7))
	assert.Equal(t, strings.Repeat("é", 100)+"…", outside.Short(strings.Repeat("é", 1<<20), 100))
}

func TestNothingInACellIsAFormula(t *testing.T) {
	for _, s := range []string{"=1+1", "+1", "-1", "@sum", "＝1", "\t=1", " =1", "'=1", "''-1", "'"} {
		cell := outside.Cell(s)
		first := strings.TrimLeft(cell, " ")[:1]
		assert.NotContains(t, "=+-@＝＋－＠\t", first, "%q", s)
		assert.Equal(t, strings.ReplaceAll(s, "\t", " "), outside.OfCell(cell), "%q", s)
	}
	for _, s := range []string{"", "Mina", "O'Neill", "'t Hooft", "3-4"} {
		assert.Equal(t, s, outside.Cell(s))
		assert.Equal(t, s, outside.OfCell(s))
	}
}

func TestATerminalIsToldWordsAlone(t *testing.T) {
	var out bytes.Buffer
	w := outside.Terminal(&out)
	text := "Mina\x1b]0;mine\x07 \u202eanim\tRené\u0085\r 李\n\u009b2J. \xff\n"
	for i := range len(text) { // whatever comes together
		n, err := w.Write([]byte(text[i : i+1]))
		require.NoError(t, err)
		require.Equal(t, 1, n)
	}
	for from := range hostile {
		written, err := json.Marshal(from)
		require.NoError(t, err)
		out.Reset()
		_, err = w.Write(outside.JSON(written))
		require.NoError(t, err)
		var read string
		require.NoError(t, json.Unmarshal(out.Bytes(), &read))
		assert.Equal(t, strings.ToValidUTF8(from, "\ufffd"), read, "what other programs read loses nothing")
	}
	out.Reset()
	_, _ = w.Write([]byte(text))
	assert.Equal(t, "Mina]0;mine anim\tRené   李\n2J. \n", out.String())
}
