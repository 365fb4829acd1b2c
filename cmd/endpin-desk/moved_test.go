package main

import (
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The whole way of a file that moves, as a player goes it: opened once, it stands ready on
// the shelf; moved among what people keep it is found, moved out of sight it stays on the
// shelf until it is opened where it lies; and what is no music leaves the window as it was.
func TestAFileThatMovesStaysOneOnTheShelfAndABadOneLeavesTheWindow(t *testing.T) {
	if testing.Short() {
		t.Skip("opens the window six times")
	}
	r := newRoom(t, "xdotool")
	settings := filepath.Join(r.dir, "config", "endpin")
	require.NoError(t, os.MkdirAll(settings, 0o700))
	require.NoError(t, os.WriteFile(filepath.Join(settings, "desk.json"), []byte(`{"version": 1, "caution_seen": true}`), 0o600))
	r.env = append(r.env, "XDG_DATA_HOME="+filepath.Join(r.dir, "data"))
	const shelf, page = "Endpin", "Stairs to the Loft" // how the window is called

	// opened is the desk with its window, called as it should be.
	opened := func(title string, args ...string) (close func()) {
		t.Helper()
		var wrong bytes.Buffer
		desk := exec.Command(r.desk, args...)
		desk.Env, desk.Stderr = r.env, &wrong
		require.NoError(t, desk.Start())
		t.Cleanup(func() { desk.Process.Kill() })
		r.called(t, title)
		return func() {
			t.Helper()
			desk.Process.Kill()
			assert.EqualError(t, desk.Wait(), "signal: killed", "it went on until then")
			assert.Empty(t, wrong.String(), "nothing on standard error")
		}
	}
	// stands is where the one piece of the shelf lay last.
	stands := func() string {
		files, _ := filepath.Glob(filepath.Join(r.dir, "data", "endpin", "pieces", "*.piece.json"))
		if len(files) != 1 {
			return strings.Join(files, " ")
		}
		var p struct{ Files []string }
		data, _ := os.ReadFile(files[0])
		_ = json.Unmarshal(data, &p)
		return append(p.Files, "")[0]
	}
	move := func(from, to string) {
		t.Helper()
		require.NoError(t, os.MkdirAll(filepath.Dir(to), 0o700))
		require.NoError(t, os.Rename(from, to))
	}

	first := filepath.Join(r.dir, "lesson", "loft.musicxml")
	move(r.piece, first)
	opened(page, first)()
	assert.Equal(t, first, stands())

	kept := filepath.Join(r.dir, "Documents", "bass", "loft.musicxml")
	move(first, kept)
	desk := opened(shelf)
	r.pressUntil(t, "Return", page)
	desk()
	assert.Equal(t, kept, stands(), "found, and remembered there")

	away := filepath.Join(r.dir, "stick", "b5", "loft.musicxml")
	move(kept, away)
	desk = opened(shelf)
	time.Sleep(time.Second) // until the window takes keys
	r.press(t, "Return")
	time.Sleep(2 * time.Second)
	r.called(t, shelf)
	picture(t, r.env, "moved-away")
	desk()
	assert.Equal(t, kept, stands(), "it stays on the shelf")
	opened(page, away)()
	assert.Equal(t, away, stands(), "one piece still")

	bad := filepath.Join(r.dir, "photo.musicxml")
	require.NoError(t, os.WriteFile(bad, []byte("\x89PNG\r\n\x1a\n, and no music"), 0o600))
	desk = opened(shelf, bad)
	picture(t, r.env, "no-music")
	r.pressUntil(t, "Return", page) // the window serves on
	desk()
	assert.Equal(t, away, stands(), "what cannot be read is not put there")
}

// called waits until the window is called so.
func (r *stage) called(t *testing.T, title string) {
	t.Helper()
	if !assert.Eventually(t, func() bool { return r.title() == title }, 60*time.Second, 100*time.Millisecond) {
		picture(t, r.env, "not-called")
		require.Equal(t, title, r.title(), "how the window is called")
	}
}

// title is what stands over the window; "" for none.
func (r *stage) title() string {
	c := exec.Command("xdotool", "search", "--onlyvisible", "--name", ".", "getwindowname")
	c.Env = r.env
	said, _ := c.Output()
	title, _, _ := strings.Cut(strings.TrimSpace(string(said)), " – ")
	return title
}

// pressUntil presses a key, again where the window did not take it yet, until it is called so.
func (r *stage) pressUntil(t *testing.T, key, title string) {
	t.Helper()
	require.Eventually(t, func() bool {
		if r.title() == title {
			return true
		}
		r.press(t, key)
		for range 20 {
			if time.Sleep(100 * time.Millisecond); r.title() == title {
				return true
			}
		}
		return false
	}, 60*time.Second, 100*time.Millisecond, "no window is called "+title)
}
