package job

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp"
	"endpin/dsp/recording"
	"endpin/piece/finding"
	"endpin/piece/fingerboard"
	"endpin/piece/notation"
)

// A violin's part, by who forgets to ask for the violin: most of it sounds above all
// that a bass is listened for.
func TestAPartForAnotherInstrumentIsListenedForAsThat(t *testing.T) {
	p, err := notation.Read("tune.abc", []byte("X:1\nT:High up\nM:4/4\nL:1/4\nQ:1/4=90\nK:G clef=treble\nV:1 name=\"Violin\"\ngabc'|d'2bg|c'e'd'c'|bagd'|d'd'e'f'|g'f'e'd'|c'bab|g4|\n"))
	require.NoError(t, err)
	line, _ := p.Line()
	sound := make([]float32, 22050)
	for _, n := range line {
		const quarter = 60. / 90
		tone := dsp.Tone{Freq: dsp.Steady(dsp.Hz(float64(n.MIDI + 12))), Partials: []float64{0.2, 0.1, 0.05, 0.03}, Seconds: n.Length.Quarters() * quarter, Rate: 22050}.Samples()
		for i := range tone {
			edge := min(i, len(tone)-i-1)
			tone[i] *= min(1, float32(edge)/800)
		}
		sound = append(sound, tone...)
	}
	sound = append(sound, make([]float32, 22050)...)
	dsp.Noise(sound, -65, 1)
	path := filepath.Join(t.TempDir(), "take.wav")
	f, err := os.Create(path)
	require.NoError(t, err)
	require.NoError(t, recording.WriteWAV(f, 22050, sound))
	require.NoError(t, f.Close())
	bass := fingerboard.DoubleBass()
	h, _, err := Hear(context.Background(), p, "tune.abc", path, finding.Options{Instrument: &bass}, nil)
	require.NoError(t, err)
	assert.Equal(t, len(line), played(h))
	assert.Equal(t, 12, h.Away)
	assert.Contains(t, strings.Join(h.Remarks, " "), "ask for it with --instrument violin.")

	p.Parts[0].For = "" // where nothing says so, it is not looked for
	h, _, err = Hear(context.Background(), p, "tune.abc", path, finding.Options{Instrument: &bass}, nil)
	if err == nil {
		assert.Less(t, played(h), len(line)/2)
	}
}
