package drills

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/assets"
	"endpin/piece/notation"
	"endpin/piece/outline"
	"endpin/ui/desk/score"
)

// table is a desk with the demo piece, whose hand shifts from first to third position in
// measure 5, and what was opened there.
type table struct {
	score  *score.Score
	says   string
	busy   bool
	opened []string
	again  *score.Score
}

func (h *table) Changed()            {}
func (h *table) Say(s string)        { h.says = s }
func (h *table) Fault(s string)      { h.Say(s) }
func (h *table) Busy(string) bool    { return h.busy }
func (h *table) Score() *score.Score { return h.score }
func (h *table) Outline() (*outline.Outline, error) {
	return outline.Of(h.score.Piece, outline.Options{})
}
func (h *table) OpenAgain(s *score.Score) { h.again, h.score = s, s }
func (h *table) OpenMade(path, _ string) {
	h.opened = append(h.opened, path)
	data, err := os.ReadFile(path)
	if err == nil {
		p, err := notation.Read(path, data)
		if err == nil {
			h.score = score.New(p, path)
		}
	}
}

func laid(t *testing.T) (*table, *Drills) {
	t.Helper()
	p, err := notation.Read(assets.DemoPieceName, assets.DemoPiece)
	require.NoError(t, err)
	h := &table{score: score.New(p, assets.DemoPieceName)}
	return h, New(h, filepath.Join(t.TempDir(), "drills"))
}

func TestTheShiftOfAMeasureIsLaidOnTheDeskOnEachStringAndTheWayBackIsKept(t *testing.T) {
	h, d := laid(t)
	piece := h.score
	assert.Contains(t, d.Shifts(), "5")
	assert.Nil(t, d.Of())
	d.Shift("5")
	assert.Equal(t, "The shift of measure 5, on each string: Stairs to the Loft", h.score.Title())
	for _, s := range h.score.Plan.Shifts {
		assert.Contains(t, []string{"1 3", "3 1"}, s.From+" "+s.To, "as it is fingered in the piece, there and back")
	}
	assert.Same(t, piece, d.Of())
	assert.True(t, d.Made())
	d.Scale(1)
	assert.Equal(t, "G major, one octave", h.score.Title(), "a scale made beside a drill is one of the piece")
	assert.Same(t, piece, d.Of())
	d.Back()
	assert.Same(t, piece, h.score)
	assert.Nil(t, d.Of())
	assert.False(t, d.Made())
}

func TestTheSameDrillAgainIsTheSamePieceAndWhatAnotherPutThereStays(t *testing.T) {
	h, d := laid(t)
	piece := h.score
	d.Scale(2)
	first := h.opened[0]
	assert.Equal(t, "G major, 2 octaves.musicxml", filepath.Base(first))
	h.score = piece
	d.Scale(2)
	assert.Equal(t, first, h.opened[1])
	require.NoError(t, os.WriteFile(first, []byte("mine"), 0o600))
	h.score = piece
	d.Scale(2)
	assert.NotEqual(t, first, h.opened[2])
	data, err := os.ReadFile(first)
	require.NoError(t, err)
	assert.Equal(t, "mine", string(data))
}

func TestOfTheMeasuresChosenTheFirstShiftIsDrilled(t *testing.T) {
	h, d := laid(t)
	d.ShiftIn(0, 3)
	assert.Empty(t, h.opened)
	assert.Contains(t, h.says, "The hand does not shift in the measures chosen")
	d.ShiftIn(2, 15)
	require.Len(t, h.opened, 1)
	assert.Contains(t, h.opened[0], "measure 5,")
}

func TestNothingIsDrilledWhileATakeIsPlayedNorWhereNothingCanBeWritten(t *testing.T) {
	h, d := laid(t)
	h.busy = true
	d.Scale(1)
	assert.Empty(t, h.opened)
	h.busy, d.folder = false, ""
	d.Scale(1)
	assert.Empty(t, h.opened)
	assert.Contains(t, h.says, "cannot be written")
	d.folder = filepath.Join(t.TempDir(), "file")
	require.NoError(t, os.WriteFile(d.folder, nil, 0o600))
	d.Scale(1)
	assert.Empty(t, h.opened)
	assert.NotEmpty(t, h.says)
	d.Shift("1")
	assert.Contains(t, h.says, "does not shift in measure 1")
}
