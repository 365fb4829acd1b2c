package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/assets"
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
	for _, tool := range []string{"Xvfb", "pulseaudio", "pactl", "paplay", "import", "ffmpeg"} {
		if _, err := exec.LookPath(tool); err != nil {
			if os.Getenv("CI") == "true" {
				t.Fatalf("%s is not installed", tool)
			}
			t.Skipf("%s is not installed", tool)
		}
	}
	dir := t.TempDir()
	deskProgram, hearProgram := filepath.Join(dir, "endpin-desk"), filepath.Join(dir, "endpin")
	do(t, nil, "go", "build", "-buildvcs=false", "-o", deskProgram, ".")
	do(t, []string{"CGO_ENABLED=0"}, "go", "build", "-buildvcs=false", "-o", hearProgram, "../endpin")
	pieceFile, flac, take := filepath.Join(dir, "piece.musicxml"), filepath.Join(dir, "take.flac"), filepath.Join(dir, "take.wav")
	require.NoError(t, os.WriteFile(pieceFile, assets.DemoPiece, 0o600))
	require.NoError(t, os.WriteFile(flac, assets.DemoTake, 0o600))
	do(t, nil, "ffmpeg", "-v", "error", "-i", flac, take)

	env := room(t, dir)
	out := filepath.Join(dir, "desk.json")
	deskRun := exec.Command(deskProgram, pieceFile, "--work", "play-along", "--measures", "1-16", "--tempo", "84",
		"--takes", filepath.Join(dir, "takes"), "--findings-json", out)
	deskRun.Env = env
	var said, wrong locked
	deskRun.Stdout, deskRun.Stderr = &said, &wrong
	require.NoError(t, deskRun.Start())
	t.Cleanup(func() { deskRun.Process.Kill() })
	require.Eventually(t, func() bool { return strings.Contains(said.String(), "listening\n") }, 30*time.Second, 50*time.Millisecond, wrong.String())

	time.Sleep(300 * time.Millisecond)
	runEnv(t, env, "paplay", "--device=room", take)
	picture(t, env)
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

// room is a display that nobody sees and a microphone that hears what is played
// into it, as the environment of a program.
func room(t *testing.T, dir string) []string {
	t.Helper()
	runtime := filepath.Join(dir, "run")
	require.NoError(t, os.Mkdir(runtime, 0o700))
	display := fmt.Sprintf(":%d", 200+os.Getpid()%500)
	env := append(os.Environ(), "XDG_RUNTIME_DIR="+runtime, "DISPLAY="+display, "HOME="+dir,
		"XDG_CONFIG_HOME="+filepath.Join(dir, "config"), "PULSE_SERVER=unix:"+filepath.Join(runtime, "pulse", "native"))
	background := func(name string, args ...string) {
		c := exec.Command(name, args...)
		c.Env = env
		require.NoError(t, c.Start())
		t.Cleanup(func() { c.Process.Kill(); c.Wait() })
	}
	background("Xvfb", display, "-screen", "0", "1280x800x24")
	background("pulseaudio", "--daemonize=no", "--exit-idle-time=-1", "-n", "--load=module-native-protocol-unix",
		"--load=module-null-sink sink_name=room rate=44100 channels=1",
		"--load=module-remap-source master=room.monitor source_name=mic",
		"--load=module-null-sink sink_name=speaker rate=44100 channels=2")
	require.Eventually(t, func() bool {
		c := exec.Command("pactl", "set-default-source", "mic")
		c.Env = env
		return c.Run() == nil
	}, 20*time.Second, 200*time.Millisecond, "no sound server")
	runEnv(t, env, "pactl", "set-default-sink", "speaker")
	return env
}

// picture keeps a picture of the display in a folder that outlives the test.
func picture(t *testing.T, env []string) {
	t.Helper()
	folder := os.Getenv("ENDPIN_PICTURES")
	if folder == "" {
		folder = filepath.Join(os.TempDir(), "endpin-pictures")
	}
	require.NoError(t, os.MkdirAll(folder, 0o700))
	file := filepath.Join(folder, "desk.png")
	runEnv(t, env, "import", "-window", "root", file)
	info, err := os.Stat(file)
	require.NoError(t, err)
	assert.Greater(t, info.Size(), int64(10000), "the window is not empty")
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
