package dsp_test

import (
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp"
	"endpin/dsp/recording"
	"endpin/dsp/rig"
)

// tool skips where a program that others wrote is not installed, and fails there
// in CI: a check that does not run there is none.
func tool(t *testing.T, name, debian string) {
	t.Helper()
	if testing.Short() {
		t.Skip("a test of accuracy, and this is a short run")
	}
	if _, err := exec.LookPath(name); err == nil {
		return
	}
	if os.Getenv("CI") == "true" {
		t.Fatalf("%s is not installed (Debian: apt install %s)", name, debian)
	}
	t.Skipf("%s is not installed (Debian: apt install %s)", name, debian)
}

// longNotes is a take of a sampled bass, bowed, and its place on disk.
func longNotes(t *testing.T) (take *rig.Take, wav string) {
	t.Helper()
	tool(t, "fluidsynth", "fluidsynth fluid-soundfont-gm")
	plan := rig.Plan{TempoQPM: 60, Program: rig.Bowed, NoiseDB: rig.DB(-60)}
	for i, midi := range []int{28, 33, 36, 40, 43, 47, 52} {
		plan.Notes = append(plan.Notes, rig.Note{MIDI: midi, OnsetBeat: 1.6 * float64(i), DurBeats: 1.3, Cents: float64(23*i%60 - 30)})
	}
	take, err := rig.Render(plan)
	require.NoError(t, err)
	wav = filepath.Join(t.TempDir(), "take.wav")
	f, err := os.Create(wav)
	require.NoError(t, err)
	require.NoError(t, recording.WriteWAV(f, rig.Rate, take.Samples))
	require.NoError(t, f.Close())
	return take, wav
}

// sung is a frame of anybody's pitch track.
type sung struct{ at, hz float64 }

// steadyPitch is the median pitch of a note's steady part, as a MIDI number.
func steadyPitch(track []sung, n rig.TrueNote) float64 {
	var inside []float64
	for _, f := range track {
		if f.at > n.HeardS+0.3 && f.at < n.OffsetS-0.1 && f.hz > 0 {
			inside = append(inside, dsp.MIDI(f.hz))
		}
	}
	if len(inside) == 0 {
		return math.NaN()
	}
	slices.Sort(inside)
	return inside[len(inside)/2]
}

func ours(t *testing.T, take *rig.Take) (track []sung) {
	t.Helper()
	h, err := dsp.Listen(&dsp.Samples{SampleRate: rig.Rate, Data: take.Samples}, dsp.Bass)
	require.NoError(t, err)
	require.Len(t, h.Notes, len(take.Truth.Notes))
	for i, n := range take.Truth.Notes {
		// The truth of a rendered note is good to 3.5 cents, of a tuned sample.
		assert.InDelta(t, n.Pitch(), h.Notes[i].Pitch, 0.035, "MIDI %d", n.MIDI)
		assert.InDelta(t, n.HeardS, h.Notes[i].Onset, 0.05, "MIDI %d", n.MIDI)
	}
	for _, f := range h.Frames {
		if f.Voiced {
			track = append(track, sung{f.Time, f.Freq})
		}
	}
	return track
}

func columns(t *testing.T, text string) (track []sung) {
	t.Helper()
	for line := range strings.Lines(strings.ReplaceAll(text, "--undefined--", "0")) {
		if fields := strings.Fields(line); len(fields) >= 2 {
			at, err := strconv.ParseFloat(fields[0], 64)
			require.NoError(t, err)
			hz, err := strconv.ParseFloat(fields[1], 64)
			require.NoError(t, err)
			track = append(track, sung{at, hz})
		}
	}
	require.NotEmpty(t, track)
	return track
}

func TestAubioHearsTheSamePitches(t *testing.T) {
	tool(t, "aubiopitch", "aubio-tools")
	take, wav := longNotes(t)
	track := ours(t, take)
	// Its default buffer cannot reach E1; its times are those of a hop's end.
	out, err := exec.Command("aubiopitch", "-p", "yinfast", "-B", "4096", "-H", "512", "-r", strconv.Itoa(rig.Rate), "-i", wav).Output()
	require.NoError(t, err)
	theirs := columns(t, string(out))
	for i := range theirs {
		theirs[i].at -= 2048.0 / rig.Rate
	}
	for _, n := range take.Truth.Notes {
		us, them := steadyPitch(track, n), steadyPitch(theirs, n)
		t.Logf("MIDI %d: truth %.3f, ours %.3f, aubio's %.3f", n.MIDI, n.Pitch(), us, them)
		if n.FreqHz < 62 {
			continue // below, aubio is often an octave off
		}
		assert.InDelta(t, them, us, 0.01, "MIDI %d", n.MIDI)
	}
}

func TestPraatHearsTheSamePitches(t *testing.T) {
	if _, err := exec.LookPath("praat"); err != nil { // not in CI either: a second opinion
		t.Skip("praat is not installed (Debian: apt install praat)")
	}
	take, wav := longNotes(t)
	track := ours(t, take)
	script := filepath.Join(t.TempDir(), "pitch.praat")
	// Autocorrelation (P. Boersma 1993) with its own defaults but for the range.
	require.NoError(t, os.WriteFile(script, []byte(`form Pitch
	sentence wav
endform
Read from file: wav$
To Pitch (ac): 0.01, 28, 15, "no", 0.03, 0.45, 0.01, 0.35, 0.14, 500
n = Get number of frames
for i to n
	t = Get time from frame number: i
	f = Get value in frame: i, "Hertz"
	appendInfoLine: fixed$ (t, 6), " ", f
endfor
`), 0o600))
	out, err := exec.Command("praat", "--run", script, wav).Output()
	require.NoError(t, err)
	theirs := columns(t, string(out))
	for _, n := range take.Truth.Notes {
		us, them := steadyPitch(track, n), steadyPitch(theirs, n)
		t.Logf("MIDI %d: truth %.3f, ours %.3f, Praat's %.3f", n.MIDI, n.Pitch(), us, them)
		assert.InDelta(t, them, us, 0.01, "MIDI %d", n.MIDI)
	}
}
