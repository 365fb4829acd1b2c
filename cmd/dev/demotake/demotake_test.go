package main

import (
	"bytes"
	"encoding/json"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/assets"
	"endpin/dsp/recording"
	"endpin/piece/pupil"
)

// needTools skips where a program that the take is made with is missing, and
// fails there under CI.
func needTools(t *testing.T) {
	t.Helper()
	for _, tool := range []string{"fluidsynth", "ffmpeg"} {
		if _, err := exec.LookPath(tool); err == nil {
			continue
		} else if os.Getenv("CI") == "true" {
			t.Fatal(err)
		} else {
			t.Skip(err)
		}
	}
}

func TestTheDemoIsTheOneThatIsMadeHere(t *testing.T) {
	needTools(t)
	take, told, err := record(assets.DemoPiece)
	require.NoError(t, err)

	kept, err := os.ReadFile("../../../assets/demo.truth.json")
	require.NoError(t, err)
	about, err := json.Marshal(told)
	require.NoError(t, err)
	assert.JSONEq(t, string(kept), string(about), "run go run ./cmd/dev/demotake")

	file := filepath.Join(t.TempDir(), "demo.flac")
	require.NoError(t, compress(take, file))
	made, err := os.ReadFile(file)
	require.NoError(t, err)
	ours, theirs := samples(t, made), samples(t, assets.DemoTake)
	require.Equal(t, len(ours), len(theirs))
	var apart, all float64
	for i := range ours {
		apart += sqr(ours[i] - theirs[i])
		all += sqr(ours[i])
	}
	// Another version of FluidSynth may round otherwise.
	assert.Less(t, math.Sqrt(apart/all), 0.02, "run go run ./cmd/dev/demotake")
}

func sqr(x float32) float64 { return float64(x) * float64(x) }

func samples(t *testing.T, flac []byte) (all []float32) {
	t.Helper()
	r, err := recording.Decode("demo.flac", bytes.NewReader(flac))
	require.NoError(t, err)
	defer r.Close()
	assert.Equal(t, rate, r.Rate())
	buf := make([]float32, 8192)
	for {
		n, err := r.Read(buf)
		all = append(all, buf[:n]...)
		if err == io.EOF {
			return all
		}
		require.NoError(t, err)
	}
}

func TestTheTakeTravelsLight(t *testing.T) {
	assert.LessOrEqual(t, len(assets.DemoTake), 1_000_000)
}

func TestEachMistakeIsWellBeyondWhatIsLetPass(t *testing.T) {
	out, err := perform(assets.DemoPiece)
	require.NoError(t, err)
	level := pupil.Intermediate
	kinds := map[string]bool{}
	for _, f := range out.Expected {
		kinds[f.Kind] = true
		switch f.Kind {
		case "sharp_after_shift":
			assert.GreaterOrEqual(t, f.Value, 1.5*level.FrameCents)
			assert.GreaterOrEqual(t, f.FrameSize, 3)
			assert.Equal(t, "7", f.ToMeasure)
		case "late":
			assert.GreaterOrEqual(t, f.Value, 1.5*level.OnsetMS)
		case "held_short":
			assert.GreaterOrEqual(t, 1-f.Value, 1.5*(1-level.Held))
		}
	}
	assert.Equal(t, map[string]bool{"sharp_after_shift": true, "late": true, "wrong_note": true, "held_short": true}, kinds)
}
