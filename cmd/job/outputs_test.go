package job

import (
	"encoding/json"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece/diary"
	"endpin/piece/finding"
)

func says(text string) func(io.Writer) error {
	return func(w io.Writer) error { _, err := io.WriteString(w, text); return err }
}

func standing(t *testing.T, path, text string) string {
	t.Helper()
	require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
	return path
}

func stands(t *testing.T, path string) string {
	t.Helper()
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	return string(data)
}

func TestAFileThatEndpinDidNotWriteStays(t *testing.T) {
	folder := t.TempDir()
	for name, text := range map[string]string{"other.wav": "RIFF", "tune.musicxml": "<score-partwise/>", "page.html": "<p>my own</p>", "list.json": `{"mine": 1}`, "empty": ""} {
		path := standing(t, filepath.Join(folder, name), text)
		var o Outputs
		require.NoError(t, o.Ask("report", path))
		written, err := o.Sign(path, says("<html>page</html>"))
		require.NoError(t, err)
		assert.Equal(t, text, stands(t, path))
		assert.NotEqual(t, path, written)
		assert.Contains(t, stands(t, written), "page")
		require.Len(t, o.Stays(), 1)
		assert.Contains(t, o.Stays()[0].String(), written)

		var again Outputs // the new one is Endpin's
		second, err := again.Sign(path, says("<html>page</html>"))
		require.NoError(t, err)
		assert.Equal(t, written, second)

		over := Outputs{Replace: true}
		written, err = over.Sign(path, says("<html>page</html>"))
		require.NoError(t, err)
		assert.Equal(t, path, written)
		assert.NotEqual(t, text, stands(t, path))
	}
}

func TestWhatEndpinWroteIsWrittenAgainUntilItIsChanged(t *testing.T) {
	folder := t.TempDir()
	page, list := filepath.Join(folder, "page.html"), filepath.Join(folder, "heard.json")
	for range 2 {
		var o Outputs
		written, err := o.Sign(page, says("<html><p>page</p></html>"))
		require.NoError(t, err)
		assert.Equal(t, page, written)
		written, err = o.JSON(list, finding.Hearing{Version: 1})
		require.NoError(t, err)
		assert.Equal(t, list, written)
		assert.Empty(t, o.Stays())
	}
	changed := stands(t, page)[:10] + " and a word of the teacher's" + stands(t, page)[10:]
	standing(t, page, changed)
	written, err := new(Outputs).Sign(page, says("<html>another</html>"))
	require.NoError(t, err)
	assert.Equal(t, filepath.Join(folder, "page 2.html"), written)
	assert.Equal(t, changed, stands(t, page))

	assert.True(t, json.Valid([]byte(stands(t, list))))
	changed = strings.Replace(stands(t, list), `"version": 1`, `"version": 2`, 1)
	for _, foreign := range []string{changed, "{\n \"version\": 2,\n \"pupils\": [\"Ada\"]\n}", stands(t, list) + "\n"} {
		standing(t, list, foreign)
		written, err = new(Outputs).JSON(list, finding.Hearing{Version: 1})
		require.NoError(t, err)
		assert.NotEqual(t, list, written)
		assert.Equal(t, foreign, stands(t, list))
		require.NoError(t, os.Remove(written))
	}
}

func TestNothingThatIsReadNoDiaryAndNoOtherOutputIsWrittenOver(t *testing.T) {
	folder := t.TempDir()
	in := filepath.Join(folder, "in")
	require.NoError(t, os.Mkdir(in, 0o700))
	take, tune := standing(t, filepath.Join(in, "ONE.wav"), "RIFF"), standing(t, filepath.Join(folder, "tune.abc"), "X:1")
	weeks := filepath.Join(folder, "d.db")
	d, err := diary.Open(weeks)
	require.NoError(t, err)
	defer d.Close()
	require.NoError(t, d.Safeguard(time.Now()))
	require.NoError(t, os.Mkdir(d.Sounds(), 0o700))
	sound := standing(t, filepath.Join(d.Sounds(), "0.wav"), "RIFF")
	require.NoError(t, os.Symlink(tune, filepath.Join(folder, "link.html")))

	o := Outputs{Replace: true}
	o.Reads(tune, in, filepath.Join(folder, "new.db"))
	for _, path := range []string{tune, filepath.Join(in, "..", "tune.abc"), filepath.Join(folder, "link.html"), take, filepath.Join(folder, "new.db"),
		weeks, weeks + "-wal", weeks + ".good", sound} {
		assert.ErrorContains(t, o.Ask("json", path), path)
	}
	for _, path := range []string{"", "-", os.DevNull, filepath.Join(folder, "new.json"), filepath.Join(in, "sheet.json"), weeks + ".txt"} {
		assert.NoError(t, o.Ask("json", path), path)
	}
	page := filepath.Join(folder, "page.html")
	require.NoError(t, o.Ask("report", page))
	assert.ErrorContains(t, o.Ask("musicxml", filepath.Join(in, "..", "page.html")), "--report")
	assert.NoError(t, o.Ask("report", page))
}
