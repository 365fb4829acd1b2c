package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece/finding"
)

// The whole way, as a user goes it: a take sounds in a room, the desk hears it
// through a microphone, and says what `endpin hear` says of the same sound. The
// take has a displaced hand frame, a late entrance, a wrong note and one held
// short (assets/README.md).
func TestTheDeskHearsThroughAMicrophoneWhatHearHearsInAFile(t *testing.T) {
	if testing.Short() {
		t.Skip("plays a take at its own speed")
	}
	r := newRoom(t)
	dir, env, hearProgram, pieceFile, take := r.dir, r.env, r.hear, r.piece, r.take
	out, kept := filepath.Join(dir, "desk.json"), filepath.Join(dir, "diary.db")
	settings := filepath.Join(dir, "config", "endpin")
	require.NoError(t, os.MkdirAll(settings, 0o700))
	require.NoError(t, os.WriteFile(filepath.Join(settings, "desk.json"), []byte(`{"version": 1, "player": "Mina"}`), 0o600))
	deskRun, _, wrong := r.work(t, "--work", "play-along", "--measures", "1-16", "--tempo", "84",
		"--takes", filepath.Join(dir, "takes"), "--findings-json", out, "--diary", kept)

	time.Sleep(300 * time.Millisecond)
	runEnv(t, env, "paplay", "--device=room", take)
	picture(t, env, "desk")
	ended := make(chan error, 1)
	go func() { ended <- deskRun.Wait() }()
	select {
	case err := <-ended:
		require.NoError(t, err, wrong.String())
	case <-time.After(30 * time.Second):
		t.Fatal("the take did not end after its silence")
	}
	assert.Empty(t, wrong.String(), "nothing on standard error")

	reference := filepath.Join(dir, "hear.json")
	do(t, nil, hearProgram, "hear", pieceFile, take, "--measures", "1-16", "--tempo", "84", "--json", reference)
	same(t, read(t, reference), read(t, out))

	// What was kept on disk is the take, judged the same once more to the letter.
	takes, _ := filepath.Glob(filepath.Join(dir, "takes", "*.wav"))
	require.Len(t, takes, 1)
	do(t, nil, hearProgram, "hear", pieceFile, takes[0], "--measures", "1-16", "--tempo", "84", "--json", reference)
	assert.Equal(t, read(t, reference).Findings, read(t, out).Findings)

	// It lies in the player's diary: its file is no second take.
	told, err := exec.Command(hearProgram, "diary", "add", "Mina", pieceFile, takes[0], "--diary", kept).CombinedOutput()
	require.NoError(t, err, string(told))
	assert.Contains(t, string(told), "is in the diary already, as Mina's take of")
}

// same says that two hearings tell of the same things in the same measures.
// Between them lies a microphone that samples at another phase, so the figures
// differ a little: 3 cents, 15 ms and a twentieth of a note.
func same(t *testing.T, want, got *finding.Hearing) {
	t.Helper()
	require.NotEmpty(t, want.Findings)
	about := func(h *finding.Hearing) (s []string) {
		for _, f := range h.Findings {
			s = append(s, fmt.Sprintf("%s-%s beat %g %s", f.Measure, f.ToMeasure, f.Beat, f.Kind))
		}
		return s
	}
	require.Equal(t, about(want), about(got))
	for i, f := range want.Findings {
		within := map[finding.Kind]float64{finding.SharpAfterShift: 3, finding.Late: 15, finding.HeldShort: 0.05}[f.Kind]
		assert.LessOrEqual(t, math.Abs(f.Value-got.Findings[i].Value), within, f.Text)
	}
}

// picture keeps a picture of the display by a name in a folder that outlives the test.
func picture(t *testing.T, env []string, name string) {
	t.Helper()
	folder := os.Getenv("ENDPIN_PICTURES")
	if folder == "" {
		folder = filepath.Join(os.TempDir(), "endpin-pictures")
	}
	require.NoError(t, os.MkdirAll(folder, 0o700))
	file := filepath.Join(folder, name+".png")
	require.Eventually(t, func() bool { // the window may only just come up
		runEnv(t, env, "import", "-window", "root", file)
		info, err := os.Stat(file)
		return err == nil && info.Size() > 10000
	}, 60*time.Second, time.Second, "the window stays empty")
	t.Log("picture kept as", file)
}

func do(t *testing.T, env []string, name string, args ...string) {
	t.Helper()
	runEnv(t, append(os.Environ(), env...), name, args...)
}

func runEnv(t *testing.T, env []string, name string, args ...string) {
	t.Helper()
	c := exec.Command(name, args...)
	c.Env = env
	out, err := c.CombinedOutput()
	require.NoError(t, err, "%s: %s", name, out)
}

func read(t *testing.T, path string) *finding.Hearing {
	t.Helper()
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	var h finding.Hearing
	require.NoError(t, json.NewDecoder(bytes.NewReader(data)).Decode(&h))
	return &h
}
