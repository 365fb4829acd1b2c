//go:build linux

package portaudio

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp"
	"endpin/dsp/recording"
	"endpin/dsp/sound"
)

// room starts a PulseAudio of its own with a microphone that hears what is
// played into the sink "room", and "speaker" as the loudspeaker.
func room(t *testing.T) {
	for _, tool := range []string{"pulseaudio", "pactl", "paplay"} {
		if _, err := exec.LookPath(tool); err != nil {
			if os.Getenv("CI") == "true" {
				t.Fatalf("%s is missing", tool)
			}
			t.Skipf("%s is missing", tool)
		}
	}
	home := t.TempDir()
	require.NoError(t, os.Chmod(home, 0o700))
	for _, v := range []string{"XDG_RUNTIME_DIR", "HOME", "XDG_CONFIG_HOME"} {
		t.Setenv(v, home)
	}
	t.Setenv("PULSE_SERVER", "unix:"+filepath.Join(home, "pulse", "native"))
	server := exec.Command("pulseaudio", "--daemonize=no", "--exit-idle-time=-1", "-n",
		"--load=module-native-protocol-unix",
		"--load=module-null-sink sink_name=room rate=44100 channels=1",
		"--load=module-null-sink sink_name=speaker rate=44100 channels=2",
		"--load=module-remap-source master=room.monitor source_name=mic")
	require.NoError(t, server.Start())
	t.Cleanup(func() {
		server.Process.Signal(os.Interrupt)
		server.Wait()
	})
	until := time.Now().Add(15 * time.Second)
	for exec.Command("pactl", "set-default-source", "mic").Run() != nil {
		require.True(t, time.Now().Before(until), "PulseAudio does not start")
		time.Sleep(50 * time.Millisecond)
	}
	pactl(t, "set-default-sink", "speaker")
}

func pactl(t *testing.T, args ...string) string {
	t.Helper()
	out, err := exec.Command("pactl", args...).CombinedOutput()
	require.NoError(t, err, "pactl %s: %s", strings.Join(args, " "), out)
	return strings.TrimSpace(string(out))
}

// take is a few strokes as a bass would play them.
func take(rate int) []float32 {
	x := make([]float32, 6*rate)
	for i, midi := range []float64{33, 38, 40, 43, 45, 36} {
		s := dsp.Tone{Freq: dsp.Steady(dsp.Hz(midi)), Partials: dsp.Sawtooth, Seconds: 0.6, Rate: rate}.Samples()
		for k, v := range s {
			u := float64(k) / float64(len(s))
			x[rate/2+i*rate*4/5+k] = v * float32(math.Min(1, math.Min(u/0.06, (1-u)/0.06)))
		}
	}
	dsp.Noise(x, -60, 1)
	return x
}

func TestTheMicrophoneHearsWhatTheFileHolds(t *testing.T) {
	room(t)
	stderr := captured(t)
	card := sound.New(New())
	devices, err := card.Devices()
	require.NoError(t, err)
	names := fmt.Sprint(devices)
	t.Log(names)
	m, err := card.Microphone("")
	require.NoError(t, err)
	defer m.Close()
	assert.Empty(t, stderr(), "a user sees nothing of the probing")

	x := take(44100)
	file := filepath.Join(t.TempDir(), "take.wav")
	w, err := os.Create(file)
	require.NoError(t, err)
	require.NoError(t, recording.WriteWAV(w, 44100, x))
	require.NoError(t, w.Close())
	play := exec.Command("paplay", "--device=room", file)
	require.NoError(t, play.Start())
	go func() {
		play.Wait()
		time.Sleep(500 * time.Millisecond)
		m.Close()
	}()
	got, err := dsp.Listen(m, dsp.Bass)
	require.NoError(t, err)
	want, err := dsp.Listen(&dsp.Samples{SampleRate: 44100, Data: x}, dsp.Bass)
	require.NoError(t, err)
	require.Len(t, want.Notes, 6)
	require.Len(t, got.Notes, 6)
	lost, reports := m.Lost()
	t.Logf("lost %d samples, %d reports of the device", lost, reports)
	var shifts []float64
	for i, n := range want.Notes {
		shifts = append(shifts, got.Notes[i].Onset-n.Onset)
		assert.InDelta(t, n.Pitch, got.Notes[i].Pitch, 0.01, "note %d", i)
	}
	slices.Sort(shifts)
	// The frames fall at other places of the sound: an onset may move by one.
	assert.Less(t, shifts[len(shifts)-1]-shifts[0], 0.01, "%v", shifts)
}

// captured gives what came on standard error since.
func captured(t *testing.T) func() string {
	r, w, err := os.Pipe()
	require.NoError(t, err)
	was, err := dupStderr(int(w.Fd()))
	require.NoError(t, err)
	return func() string {
		was()
		w.Close()
		all, _ := io.ReadAll(r)
		return string(all)
	}
}

// What the measuring is sure of must be right, and it must come to be sure, if not
// at the first time: this computer may be so busy that the streams break up.
func TestALoopOfKnownLengthIsMeasured(t *testing.T) {
	if testing.Short() {
		t.Skip("eighteen seconds of ticks")
	}
	room(t)
	measure := func(loop string) (got sound.Latency) {
		id := pactl(t, "load-module", "module-loopback", "source=speaker.monitor", "sink=room", "latency_msec="+loop, "adjust_time=0")
		defer pactl(t, "unload-module", id)
		for range 3 {
			card := sound.New(New())
			m, err := card.Microphone("")
			require.NoError(t, err)
			l, err := card.Loudspeaker("")
			require.NoError(t, err)
			got, err = sound.MeasureUntilSure(context.Background(), m, l)
			t.Logf("a loop of %s ms: %+v %s %v; gaps %d", loop, got, got.Trust(), err, l.Gaps())
			l.Close()
			m.Close()
			if err == nil && got.Trust() == dsp.Sure {
				return got
			}
			if err != nil {
				require.ErrorIs(t, err, sound.ErrNoTick)
			}
		}
		t.Fatal("three times three rows of ticks, and nothing that may be believed")
		return got
	}
	a, b := measure("60"), measure("260")
	t.Logf("200 ms more in the loop are measured as %.0f ms", 1000*(b.Seconds-a.Seconds))
	assert.InDelta(t, 0.2, b.Seconds-a.Seconds, 0.03)
}

func TestWhereItSoundsIsAsTheSoundServerHasIt(t *testing.T) {
	room(t)
	card := sound.New(New())
	l, err := card.Loudspeaker("")
	require.NoError(t, err)
	defer l.Close()
	comes := func(sink string) {
		t.Helper()
		until := time.Now().Add(30 * time.Second)
		for !strings.HasPrefix(l.Outlet(), sink+" ") {
			require.True(t, time.Now().Before(until), "%q", l.Outlet())
			time.Sleep(20 * time.Millisecond)
		}
	}
	comes("speaker")
	pactl(t, "load-module", "module-null-sink", "sink_name=headphones")
	pactl(t, "set-default-sink", "headphones")
	comes("headphones")
	exec.Command("pactl", "exit").Run()
	gone := time.Now().Add(30 * time.Second)
	for l.Outlet() != "" {
		require.True(t, time.Now().Before(gone), "a server that is gone tells nothing")
		time.Sleep(20 * time.Millisecond)
	}
}

func TestADevicePulledOutIsTold(t *testing.T) {
	room(t)
	card := sound.New(New())
	m, err := card.Microphone("")
	require.NoError(t, err)
	defer m.Close()
	var once sync.Once
	ended := make(chan error, 1)
	heard := 0
	go func() {
		buf := make([]float32, 4096)
		for {
			n, err := m.Read(buf)
			if err != nil {
				ended <- err
				return
			}
			heard += n
			if heard > 22050 {
				once.Do(func() { exec.Command("pactl", "exit").Run() })
			}
		}
	}()
	select {
	case err := <-ended:
		var f *sound.Fault
		require.True(t, errors.As(err, &f), "%v", err)
		t.Log(err)
		assert.Equal(t, sound.Pulled, f.Trouble)
	case <-time.After(10 * time.Second):
		t.Fatal("nothing was told")
	}
}
