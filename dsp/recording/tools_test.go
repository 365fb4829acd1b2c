package recording

import (
	"bytes"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"endpin/dsp"
)

// run runs an outside tool and returns what it said. Where it is not installed
// the test is skipped, but fails in CI: a check that does not run there is none.
func run(t testing.TB, tool string, args ...string) string {
	t.Helper()
	if _, err := exec.LookPath(tool); err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatalf("%s is not installed", tool)
		}
		t.Skipf("%s is not installed", tool)
	}
	out, err := exec.Command(tool, args...).CombinedOutput()
	require.NoError(t, err, "%s %q: %s", tool, args, out)
	return string(out)
}

// withoutTools makes the test run as on a computer without ffmpeg.
func withoutTools(t *testing.T) { t.Setenv("PATH", t.TempDir()) }

// file writes a file of that name and returns its path.
func file(t testing.TB, name string, content []byte) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	require.NoError(t, os.WriteFile(path, content, 0o600))
	return path
}

// heard is the whole of a recording.
func heard(t testing.TB, r *Recording) []float32 {
	t.Helper()
	sound := []float32{}
	buf := make([]float32, 4096)
	for {
		n, err := r.Read(buf)
		if err != nil {
			require.EqualError(t, err, "EOF")
			return sound
		}
		sound = append(sound, buf[:n]...)
	}
}

// opened opens the file for the length of the test.
func opened(t testing.TB, path string) *Recording {
	t.Helper()
	r, err := Open(path)
	require.NoError(t, err)
	t.Cleanup(func() { r.Close() })
	return r
}

// source opens the file as a dsp.Source.
func source(t testing.TB, path string) func() dsp.Source {
	return func() dsp.Source { return opened(t, path) }
}

// decoded opens what is in memory.
func decoded(t testing.TB, content []byte) *Recording {
	t.Helper()
	r, err := Decode("take", bytes.NewReader(content))
	require.NoError(t, err)
	return r
}

// tone is a sine of that frequency, rate and length in seconds.
func tone(freq float64, rate int, seconds, level float64) []float32 {
	sound := make([]float32, int(seconds*float64(rate)))
	for i := range sound {
		sound[i] = float32(level * math.Sin(2*math.Pi*freq*float64(i)/float64(rate)))
	}
	return sound
}

func rms(sound []float32) float64 {
	sum := 0.0
	for _, x := range sound {
		sum += float64(x) * float64(x)
	}
	return math.Sqrt(sum / float64(len(sound)))
}

// part is how much of the sound's energy about its mean is a sine of that
// frequency, 0..1.
func part(sound []float32, freq float64, rate int) float64 {
	var mean, re, im, all float64
	for _, x := range sound {
		mean += float64(x) / float64(len(sound))
	}
	for i, x := range sound {
		x := float64(x) - mean
		// A Hann window keeps the neighbours out.
		w := 0.5 - 0.5*math.Cos(2*math.Pi*float64(i)/float64(len(sound)))
		p := 2 * math.Pi * freq * float64(i) / float64(rate)
		re += w * x * math.Cos(p)
		im += w * x * math.Sin(p)
		all += x * x
	}
	// Of a sine of amplitude a: |re, im| = a n/4, all = a² n/2.
	n := float64(len(sound))
	return 8 * (re*re + im*im) / (n * all)
}

// middle leaves out a tenth at either end, where codecs fade.
func middle(sound []float32) []float32 {
	return sound[len(sound)/10 : len(sound)*9/10]
}
