package main

import (
	"encoding/binary"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"sort"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// kept is what stands beside a take on disk.
type kept struct {
	Complete bool    `json:"complete"`
	Seconds  float64 `json:"seconds"`
	Found    string  `json:"found"`
}

// takes are the takes in a folder, the oldest first.
func takes(folder string) (sounds []string, notes []kept) {
	sounds, _ = filepath.Glob(filepath.Join(folder, "*.wav"))
	sort.Strings(sounds)
	for _, s := range sounds {
		var k kept
		data, _ := os.ReadFile(s[:len(s)-len(".wav")] + ".json")
		json.Unmarshal(data, &k)
		notes = append(notes, k)
	}
	return sounds, notes
}

// holds waits until a take holds so many seconds.
func holds(t *testing.T, folder string, take int, seconds float64) {
	t.Helper()
	require.Eventually(t, func() bool {
		sounds, _ := takes(folder)
		if len(sounds) <= take {
			return false
		}
		info, err := os.Stat(sounds[take])
		return err == nil && float64(info.Size()) > seconds*2*44100
	}, time.Duration(seconds*3+30)*time.Second, 100*time.Millisecond)
}

// The program is killed while somebody plays. At the next start the take is
// offered, with all that was played, and hears right.
func TestATakeIsWholeThoughTheProgramIsKilled(t *testing.T) {
	if testing.Short() {
		t.Skip("plays half a take at its own speed")
	}
	r := newRoom(t, "xdotool")
	folder := filepath.Join(r.dir, "takes")
	first, _, _ := r.work(t, "--work", "play-alone", "--takes", folder)
	r.start(t, "paplay", "--device=room", r.take)
	holds(t, folder, 0, 26)
	require.NoError(t, first.Process.Kill())
	first.Wait()
	sounds, notes := takes(folder)
	require.Len(t, sounds, 1)
	require.False(t, notes[0].Complete)

	settings := filepath.Join(r.dir, "config", "endpin", "desk.json") // the first day's caution was read
	require.NoError(t, os.MkdirAll(filepath.Dir(settings), 0o700))
	require.NoError(t, os.WriteFile(settings, []byte(`{"caution_seen":true}`), 0o600))
	_, _, wrong := r.work(t, "--takes", folder)
	require.Eventually(t, func() bool {
		data, err := os.ReadFile(sounds[0])
		return err == nil && int(binary.LittleEndian.Uint32(data[4:]))+8 == len(data)
	}, 30*time.Second, 100*time.Millisecond, "the file tells of all its sound")
	picture(t, r.env, "cut-off")
	time.Sleep(2 * time.Second) // until the window takes keys
	r.press(t, "Page_Up")       // go on to the take that was cut off
	r.press(t, "Page_Down")     // and hear it
	require.Eventually(t, func() bool { _, n := takes(folder); return n[0].Complete }, 30*time.Second, 100*time.Millisecond, wrong)
	_, notes = takes(folder)
	assert.Greater(t, notes[0].Seconds, 25.9)
	assert.Contains(t, notes[0].Found, "heard")
	report := filepath.Join(r.dir, "cut.json")
	do(t, nil, r.hear, "hear", r.piece, sounds[0], "--json", report)
	assert.Equal(t, "sharp_after_shift", string(read(t, report).Findings[0].Kind), "the displaced frame of measures 5 to 7 is in it")
}

// A desk whose display does not answer cannot close its window. Told twice to end it does so at
// once, and what was played lies on disk.
func TestToldTwiceTheDeskEndsThoughItsDisplayDoesNotAnswer(t *testing.T) {
	if runtime.GOOS != "linux" {
		t.Skip("stops the display as Linux does")
	}
	r := newRoom(t)
	folder := filepath.Join(r.dir, "takes")
	running, _, wrong := r.work(t, "--work", "play-alone", "--takes", folder)
	r.start(t, "paplay", "--device=room", r.take)
	holds(t, folder, 0, 2)
	require.NoError(t, r.display.Process.Signal(syscall.SIGSTOP))
	defer r.display.Process.Signal(syscall.SIGCONT)
	ended := make(chan error, 1)
	go func() { ended <- running.Wait() }()
	require.NoError(t, running.Process.Signal(syscall.SIGTERM))
	select {
	case <-ended:
		t.Fatal("it ends without its display: this test shows nothing")
	case <-time.After(300 * time.Millisecond):
	}
	require.NoError(t, running.Process.Signal(syscall.SIGTERM))
	require.NoError(t, <-ended, wrong.String())
	sounds, _ := takes(folder)
	assert.Len(t, sounds, 1)
}

// The sound of the whole computer goes away in a take, and comes again.
func TestAfterTheSoundWentAwayTheNextStartGoesOn(t *testing.T) {
	if testing.Short() {
		t.Skip("plays a take at its own speed")
	}
	r := newRoom(t, "xdotool")
	folder := filepath.Join(r.dir, "takes")
	running, _, wrong := r.work(t, "--work", "play-alone", "--takes", folder)
	player := r.start(t, "paplay", "--device=room", r.take)
	holds(t, folder, 0, 26)
	require.NoError(t, r.sound.Process.Kill())
	r.sound.Wait()
	player.Process.Kill()
	require.Eventually(t, func() bool { _, n := takes(folder); return n[0].Complete }, 30*time.Second, 100*time.Millisecond, wrong)
	_, notes := takes(folder)
	assert.Contains(t, notes[0].Found, "heard", "judged as far as it goes")
	picture(t, r.env, "sound-gone")
	r.press(t, "space") // there is nothing to hear with now: a sentence, and the desk lives
	time.Sleep(time.Second)
	picture(t, r.env, "no-sound")

	os.Remove(filepath.Join(r.dir, "run", "pulse", "pid"))
	r.listen(t)
	r.press(t, "space")
	r.start(t, "paplay", "--device=room", r.take)
	holds(t, folder, 1, 12)
	r.press(t, "space")
	require.Eventually(t, func() bool { _, n := takes(folder); return len(n) == 2 && n[1].Complete }, 30*time.Second, 100*time.Millisecond, wrong)
	assert.Nil(t, running.ProcessState, "the same program")
	assert.Empty(t, wrong.String())
}

// The microphone alone is pulled out and plugged in again.
func TestAMicrophonePulledOutAndPluggedInAgain(t *testing.T) {
	if testing.Short() {
		t.Skip("plays a take at its own speed")
	}
	r := newRoom(t, "xdotool")
	folder := filepath.Join(r.dir, "takes")
	_, _, wrong := r.work(t, "--work", "play-alone", "--takes", folder)
	r.start(t, "paplay", "--device=room", r.take)
	holds(t, folder, 0, 10)
	runEnv(t, r.env, "pactl", "suspend-source", "mic", "1")
	require.Eventually(t, func() bool { _, n := takes(folder); return n[0].Complete }, 30*time.Second, 100*time.Millisecond, wrong)
	picture(t, r.env, "pulled")
	runEnv(t, r.env, "pactl", "suspend-source", "mic", "0")
	r.press(t, "space")
	holds(t, folder, 1, 6)
	r.press(t, "space")
	require.Eventually(t, func() bool { _, n := takes(folder); return len(n) == 2 && n[1].Complete }, 30*time.Second, 100*time.Millisecond, wrong)
	assert.Empty(t, wrong.String())
}

// The loudspeaker alone goes away in a take, and comes back: the click goes on.
func TestALoudspeakerPulledOutAndPluggedInAgain(t *testing.T) {
	if testing.Short() {
		t.Skip("plays half a take at its own speed")
	}
	r := newRoom(t, "parec")
	folder := filepath.Join(r.dir, "takes")
	running, _, wrong := r.work(t, "--work", "play-along", "--takes", folder)
	r.start(t, "paplay", "--device=room", r.take)
	holds(t, folder, 0, 6)
	clicks := func(seconds string) bool { // above the 8 kHz, so at a rate that holds them
		c := exec.Command("timeout", seconds, "parec", "--device=speaker.monitor", "--format=s16le", "--rate=44100", "--channels=1", "--latency-msec=50")
		c.Env = r.env
		heard, _ := c.Output()
		for i := 0; i+1 < len(heard); i += 2 {
			if v := int16(binary.LittleEndian.Uint16(heard[i:])); v > 1<<12 || v < -1<<12 {
				return true
			}
		}
		return false
	}
	require.True(t, clicks("4"), "it clicks before")
	runEnv(t, r.env, "pactl", "suspend-sink", "speaker", "1")
	time.Sleep(4 * time.Second)
	picture(t, r.env, "loudspeaker-gone")
	runEnv(t, r.env, "pactl", "suspend-sink", "speaker", "0")
	require.Eventually(t, func() bool { return clicks("2") }, 20*time.Second, 100*time.Millisecond, "it clicks again, in the same take")
	picture(t, r.env, "loudspeaker-back")
	sounds, notes := takes(folder)
	assert.Len(t, sounds, 1)
	assert.False(t, notes[0].Complete, "which goes on")
	assert.Nil(t, running.ProcessState)
	assert.Empty(t, wrong.String())
}
