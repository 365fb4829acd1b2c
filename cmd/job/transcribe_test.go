package job

import (
	"bytes"
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/assets"
	"endpin/piece/finding"
	"endpin/piece/fingerboard"
	"endpin/piece/midi"
	"endpin/piece/notation"
	"endpin/piece/transcription"
)

// Source: FluidSynth 2 with the soundfont FluidR3 GM, another reader of what is written:
// heard against the piece, its playing has every note, at the tempo asked for.
func TestAPieceWrittenAsMIDIIsPlayedByFluidSynthAsItIsPrinted(t *testing.T) {
	font := "/usr/share/sounds/sf2/FluidR3_GM.sf2"
	if _, err := os.Stat(font); err != nil {
		t.Skip("no soundfont: install fluid-soundfont-gm")
	}
	p, err := notation.Read("demo", assets.DemoPiece)
	require.NoError(t, err)
	dir := t.TempDir()
	mid, wav := filepath.Join(dir, "demo.mid"), filepath.Join(dir, "demo.wav")
	var b bytes.Buffer
	require.NoError(t, midi.Write(&b, p, 33)) // one plucked bass: the bowed one of this soundfont is a section
	require.NoError(t, os.WriteFile(mid, b.Bytes(), 0o600))
	out, err := exec.Command("fluidsynth", "-ni", "-q", "-R", "0", "-C", "0", "-F", wav, font, mid).CombinedOutput()
	require.NoError(t, err, string(out))
	bass := fingerboard.DoubleBass()
	h, _, err := Hear(context.Background(), p, mid, wav, finding.Options{Instrument: &bass}, nil)
	require.NoError(t, err)
	for _, n := range h.Notes {
		assert.Equal(t, finding.StatePlayed, n.State, "measure %s beat %g", n.Measure, n.Beat)
	}
	assert.InDelta(t, h.TempoAsked, h.TempoHeard, 1)
}

func TestTheDemoTakeIsWrittenDown(t *testing.T) {
	dir := t.TempDir()
	take := filepath.Join(dir, "demo.flac")
	require.NoError(t, os.WriteFile(take, assets.DemoTake, 0o600))
	w, err := Transcribe(context.Background(), take, fingerboard.DoubleBass(), transcription.Asked{}, nil)
	require.NoError(t, err)
	printed, err := notation.Read("demo", assets.DemoPiece)
	require.NoError(t, err)
	want, _ := printed.Line()
	got, _ := w.Piece.Line()
	require.Len(t, got, len(want))
	other := 0
	for i := range got {
		if got[i].MIDI != want[i].MIDI {
			other++
		}
	}
	assert.Equal(t, 1, other, "the take's one wrong note is written as it sounds")
	assert.InDelta(t, 84, w.QPM, 1)
	assert.Equal(t, 1, w.Key.Fifths)
}
