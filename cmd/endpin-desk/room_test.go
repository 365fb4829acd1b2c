package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"endpin/assets"
)

// stage is a display that nobody sees and a microphone that hears what is played
// into it, with the programs built and the demo's piece and take as files.
type stage struct {
	dir, desk, hear, piece, take string
	env                          []string // of a program in it
	sound, display               *exec.Cmd
}

// programs is the folder of both programs, which are built once for all rooms; "" for not
// yet.
var (
	programs string
	building sync.Mutex
)

func TestMain(m *testing.M) {
	status := m.Run()
	if programs != "" {
		_ = os.RemoveAll(programs)
	}
	os.Exit(status)
}

// built is the folder of both programs.
func built(t *testing.T) string {
	t.Helper()
	building.Lock()
	defer building.Unlock()
	if programs == "" {
		folder, err := os.MkdirTemp("", "endpin-desk")
		require.NoError(t, err)
		programs = folder
		do(t, nil, "go", "build", "-buildvcs=false", "-o", filepath.Join(folder, "endpin-desk"), ".")
		do(t, []string{"CGO_ENABLED=0"}, "go", "build", "-buildvcs=false", "-o", filepath.Join(folder, "endpin"), "../endpin")
	}
	return programs
}

// newRoom sets it out, or skips the test where something for it is missing. Who is in a room
// mostly waits for sound, so that other rooms may be used alongside.
func newRoom(t *testing.T, more ...string) *stage {
	t.Helper()
	t.Parallel()
	for _, tool := range append([]string{"Xvfb", "pulseaudio", "pactl", "paplay", "import", "ffmpeg"}, more...) {
		if _, err := exec.LookPath(tool); err != nil {
			if os.Getenv("CI") == "true" {
				t.Fatalf("%s is not installed", tool)
			}
			t.Skipf("%s is not installed", tool)
		}
	}
	dir := t.TempDir()
	programs := built(t)
	r := &stage{dir: dir, desk: filepath.Join(programs, "endpin-desk"), hear: filepath.Join(programs, "endpin"),
		piece: filepath.Join(dir, "piece.musicxml"), take: filepath.Join(dir, "take.wav")}
	flac := filepath.Join(dir, "take.flac")
	require.NoError(t, os.WriteFile(r.piece, assets.DemoPiece, 0o600))
	require.NoError(t, os.WriteFile(flac, assets.DemoTake, 0o600))
	do(t, nil, "ffmpeg", "-v", "error", "-i", flac, r.take)

	runtime := filepath.Join(dir, "run")
	require.NoError(t, os.Mkdir(runtime, 0o700))
	display := fmt.Sprintf(":%d", 200+(os.Getpid()+101*int(displays.Add(1)))%700)
	r.env = append(os.Environ(), "XDG_RUNTIME_DIR="+runtime, "DISPLAY="+display, "HOME="+dir,
		"XDG_CONFIG_HOME="+filepath.Join(dir, "config"), "PULSE_SERVER=unix:"+filepath.Join(runtime, "pulse", "native"))
	r.display = r.start(t, "Xvfb", display, "-noreset", "-screen", "0", "1280x800x24") // else it begins anew when a desk is killed, and the next may come too soon
	r.listen(t)
	return r
}

var displays atomic.Int32

// listen starts the sound of the room, also after it was ended.
func (r *stage) listen(t *testing.T) {
	t.Helper()
	r.sound = r.start(t, "pulseaudio", "--daemonize=no", "--exit-idle-time=-1", "-n", "--load=module-native-protocol-unix",
		"--load=module-null-sink sink_name=room rate=44100 channels=1",
		"--load=module-remap-source master=room.monitor source_name=mic",
		"--load=module-null-sink sink_name=speaker rate=44100 channels=2")
	require.Eventually(t, func() bool {
		c := exec.Command("pactl", "set-default-source", "mic")
		c.Env = r.env
		return c.Run() == nil
	}, 20*time.Second, 200*time.Millisecond, "no sound server")
	runEnv(t, r.env, "pactl", "set-default-sink", "speaker")
}

// start starts a program in the room, which ends with the test.
func (r *stage) start(t *testing.T, name string, args ...string) *exec.Cmd {
	t.Helper()
	c := exec.Command(name, args...)
	c.Env = r.env
	require.NoError(t, c.Start())
	t.Cleanup(func() { c.Process.Kill(); c.Wait() })
	return c
}

// work starts the desk and waits until it listens. What it says is kept.
func (r *stage) work(t *testing.T, args ...string) (running *exec.Cmd, said, wrong *locked) {
	t.Helper()
	return r.workUnder(t, []string{r.desk}, args...)
}

// workUnder is work where the desk is the last of the words that start it.
func (r *stage) workUnder(t *testing.T, start []string, args ...string) (running *exec.Cmd, said, wrong *locked) {
	t.Helper()
	said, wrong = &locked{}, &locked{}
	c := exec.Command(start[0], append(append(start[1:], r.piece), args...)...)
	c.Env, c.Stdout, c.Stderr = r.env, said, wrong
	require.NoError(t, c.Start())
	t.Cleanup(func() { c.Process.Kill() })
	if strings.Contains(strings.Join(args, " "), "--work") {
		require.Eventually(t, func() bool { return strings.Contains(said.String(), "listening\n") }, 30*time.Second, 50*time.Millisecond, wrong)
	}
	return c, said, wrong
}

// press presses a key in the desk's window.
func (r *stage) press(t *testing.T, key string) {
	t.Helper()
	runEnv(t, r.env, "xdotool", "key", key)
}
