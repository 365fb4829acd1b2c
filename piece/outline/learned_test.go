package outline

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece"
	"endpin/piece/notation"
)

func againPiece(t testing.TB) *piece.Piece {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("testdata", "again.abc"))
	require.NoError(t, err)
	p, err := notation.Read("again.abc", data)
	require.NoError(t, err)
	return p
}

func TestATuneTellsWhatComesAgainAsOtherProgramsReadIt(t *testing.T) {
	told, err := json.Marshal(outlined(t, againPiece(t), Options{}).Same)
	require.NoError(t, err)
	assert.JSONEq(t, `[
		{"from":["1","4"],"as":["5","8"],"how":"ending differs"},
		{"from":["9","12"],"as":["13","16"],"how":"transposed"},
		{"from":["1","4"],"as":["17","20"],"how":"exact"}]`, string(told))
}

func TestWhatIsLearnedOnceIsCountedOnce(t *testing.T) {
	first := outlined(t, againPiece(t), Options{}).Learned()
	assert.Equal(t, []int{0, 1, 2, 3, 0, 1, 2, 7, 8, 9, 10, 11, 12, 13, 14, 15, 0, 1, 2, 3, 20}, first,
		"an ending that differs and what comes transposed are learned by themselves")
}
