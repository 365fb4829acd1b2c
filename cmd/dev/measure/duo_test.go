package main

import (
	"errors"
	"math/rand"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp"
	"endpin/dsp/rig"
	"endpin/piece/align"
	"endpin/piece/finding"
	"endpin/piece/notation"
	"endpin/piece/pupil"
)

func TestASecondPlayerOnAnotherLineLowersTrust(t *testing.T) {
	rendered(t, 1)
	pieces, err := printedPieces()
	require.NoError(t, err)
	for i, sheet := range pieces[:2] {
		tune, err := sheet.tune()
		require.NoError(t, err)
		read, err := notation.Read(sheet.file, sheet.data)
		require.NoError(t, err)
		play := func(seed int64, program int, change func(n *rig.Note)) []float32 {
			plan := pupil.Player{Tune: tune, Level: pupil.Intermediate, Scatter: pupil.Careful, Seed: seed, Program: program}.Play().Plan
			for k := range plan.Notes {
				change(&plan.Notes[k])
			}
			take, err := rig.Render(plan)
			require.NoError(t, err)
			return take.Samples
		}
		rng := rand.New(rand.NewSource(int64(i)))
		alone := play(int64(i), rig.Bowed, func(*rig.Note) {})
		other := play(int64(i+70), rig.Cello, func(n *rig.Note) { n.MIDI += []int{3, 4, 7, 9}[rng.Intn(4)] })
		both := make([]float32, len(alone))
		for k := range both {
			both[k] = 0.6 * alone[k]
			if k < len(other) {
				both[k] += 0.3 * other[k]
			}
		}
		judged := func(sound []float32) (*finding.Hearing, error) {
			heard, err := dsp.Listen(&dsp.Samples{SampleRate: rig.Rate, Data: sound}, dsp.Bass)
			require.NoError(t, err)
			return finding.Judge(read, heard, finding.Options{})
		}
		h, err := judged(alone)
		require.NoError(t, err)
		for _, f := range h.Findings {
			assert.NotEqual(t, finding.NotSure, f.Kind, "alone: %s", f.Text)
		}
		h, err = judged(both)
		if errors.Is(err, align.ErrNothing) {
			continue // told as another piece, or another player
		}
		require.NoError(t, err)
		unsure := false
		for _, f := range h.Findings {
			unsure = unsure || f.Kind == finding.NotSure
			assert.NotEqual(t, dsp.Sure, f.Trust, f.Text)
		}
		assert.True(t, unsure, "%s: nothing told of the second player", sheet.file)
	}
}
