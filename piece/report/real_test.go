package report_test

import (
	"math"
	"os"
	"os/exec"
	"sort"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp"
	"endpin/dsp/rig"
	"endpin/piece/finding"
	"endpin/piece/pupil"
	"endpin/piece/report"
)

// A take rendered by FluidSynth, heard and judged as any other: the page draws
// the mean of each note where the plan, which knows what sounds, has it.
func TestARenderedTakeIsDrawnAsItSounds(t *testing.T) {
	if _, err := exec.LookPath("fluidsynth"); err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal(err)
		}
		t.Skip(err)
	}
	tune := pupil.Compose(pupil.Style{Measures: 8, Marked: true}, 3)
	perf := pupil.Player{Tune: tune, Level: pupil.Intermediate, Scatter: pupil.Careful, Program: rig.Bowed, Seed: 3}.Play()
	sound, err := rig.Render(perf.Plan)
	require.NoError(t, err)
	heard, err := dsp.Listen(&dsp.Samples{SampleRate: rig.Rate, Data: sound.Samples}, dsp.Bass)
	require.NoError(t, err)
	h, err := finding.Judge(tune.Piece, heard, finding.Options{})
	require.NoError(t, err)
	line, _ := tune.Piece.Line()

	out := page(t, &played{piece: tune.Piece, line: line, h: h, heard: heard}, report.Options{})
	assert.Less(t, len(out), 60_000)
	var off []float64
	for _, d := range drawings(t, out) {
		for _, e := range d.of("mean") {
			require.Less(t, len(off), len(sound.Truth.Notes))
			off = append(off, math.Abs(d.cents(t, path(t, e)[1], 50)-sound.Truth.Notes[len(off)].Cents))
		}
	}
	require.Len(t, off, len(line), "every note of this take is drawn")
	sort.Float64s(off)
	assert.Less(t, off[len(off)/2], 3.0, "cents, the median note")
	assert.Less(t, off[len(off)*9/10], 10.0, "cents, nine notes of ten")
}
