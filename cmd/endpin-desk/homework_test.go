package main

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/cmd/job"
)

// The whole way of homework, as teacher and student go it: marks go into the piece, a file
// is made of it, opened as a
// double click opens it, played through a microphone, and handed in; the class knows whose
// it is whatever it is called.
func TestHomeworkGoesOutIsPlayedAndComesBack(t *testing.T) {
	if testing.Short() {
		t.Skip("plays a take at its own speed")
	}
	r := newRoom(t, "xdotool")
	file := filepath.Join(r.dir, "loft.endpin")
	marked := filepath.Join(r.dir, "marked.musicxml")
	do(t, nil, r.hear, "mark", r.piece, "5.3 up", "9 section B", "--out", marked)
	do(t, nil, r.hear, "assign", marked, "--measures", "1-16", "--tempo", "84", "--work", "play-alone", "--level", "first-year",
		"--text", "Sing it first", "--until", "2099-12-06", "--out", file)

	settings := filepath.Join(r.dir, "config", "endpin")
	require.NoError(t, os.MkdirAll(settings, 0o700))
	require.NoError(t, os.WriteFile(filepath.Join(settings, "desk.json"), []byte(`{"version": 1, "player": "Mina", "caution_seen": true}`), 0o600))
	desk := exec.Command(r.desk, file)
	var wrong bytes.Buffer
	desk.Env, desk.Stderr = append(r.env, "XDG_DATA_HOME="+filepath.Join(r.dir, "data")), &wrong
	require.NoError(t, desk.Start())
	t.Cleanup(func() { desk.Process.Kill(); desk.Wait() })
	picture(t, r.env, "homework")

	takes := filepath.Join(r.dir, "data", "endpin", "takes")
	found := func(folder, pattern string) string {
		files, _ := filepath.Glob(filepath.Join(folder, pattern))
		if len(files) == 0 {
			return ""
		}
		return files[0]
	}
	r.press(t, "space")
	require.Eventually(t, func() bool { return found(takes, "*.wav") != "" }, 20*time.Second, 100*time.Millisecond, "the take has not begun")
	time.Sleep(300 * time.Millisecond)
	runEnv(t, r.env, "paplay", "--device=room", r.take)
	require.Eventually(t, func() bool {
		data, _ := os.ReadFile(found(takes, "*.json"))
		return bytes.Contains(data, []byte(`"complete": true`))
	}, 60*time.Second, 200*time.Millisecond, "the take was not judged")
	time.Sleep(time.Second)
	r.press(t, "h")
	time.Sleep(time.Second)
	picture(t, r.env, "handing-in")
	r.press(t, "Return") // the name as it is
	r.press(t, "Return")
	handed := ""
	require.Eventually(t, func() bool {
		handed = found(r.dir, "Stairs to the Loft Mina*.endpin")
		return handed != ""
	}, 20*time.Second, 200*time.Millisecond, "nothing was handed in")
	time.Sleep(time.Second)

	in, out := filepath.Join(r.dir, "in"), filepath.Join(r.dir, "out")
	require.NoError(t, os.Mkdir(in, 0o700))
	require.NoError(t, os.Rename(handed, filepath.Join(in, "attachment(3).endpin")))
	do(t, nil, r.hear, "class", file, in, "--out", out)
	table, err := os.ReadFile(filepath.Join(out, "class.csv"))
	require.NoError(t, err)
	assert.True(t, strings.Contains(string(table), "\nMina,attachment(3).endpin,heard,"), string(table))
	assert.FileExists(t, filepath.Join(out, "Mina.html"))
	p, err := job.ReadPiece(filepath.Join(in, "attachment(3).endpin"), "", nil)
	require.NoError(t, err)
	assert.Equal(t, []string{"B", "up"}, []string{p.Measures[8].Rehearsal, string(p.Measures[4].Notes[2].Marks.Bow)}, "the marks went the whole way")
	assert.Empty(t, wrong.String(), "nothing on standard error")
}
