package diary_test

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece/diary"
	"endpin/piece/finding"
)

// mended is a shift that somebody mended at a time.
func mended(player string, at time.Time) diary.Mended {
	now := -2.5
	return diary.Mended{Player: player, Piece: "Gate Song", Content: "abc", At: at, Kind: finding.SharpAfterShift, Measure: "5", Was: 31, Now: &now, Let: 18, Level: "intermediate", Rounds: 6}
}

func TestWhatWasMendedStaysWhenTheTakeGoes(t *testing.T) {
	d := open(t)
	a := add(t, d, played(t, "Mina", monday, 28))
	what := mended("Mina", monday)
	for range 2 { // told twice
		what.Player = "mina"
		require.NoError(t, d.AddMended(what))
	}
	unmeasured := mended("Mina", monday.AddDate(0, 0, 7))
	unmeasured.Now = nil
	require.NoError(t, d.AddMended(unmeasured))
	_, err := d.RemoveTake("Mina", a.Take)
	require.NoError(t, err)
	all, err := d.Mended(diary.Span{Player: "MINA"})
	require.NoError(t, err)
	what.Player = "Mina"
	for i := range all {
		assert.True(t, all[i].At.Equal([]time.Time{what.At, unmeasured.At}[i]))
		all[i].At = time.Time{}
	}
	what.At, unmeasured.At = time.Time{}, time.Time{}
	assert.Equal(t, []diary.Mended{what, unmeasured}, all)
	all, err = d.Mended(diary.Span{Player: "Mina", From: monday.AddDate(0, 0, 1), Piece: "Gate Song"})
	require.NoError(t, err)
	assert.Len(t, all, 1)
	_, err = d.Check()
	require.NoError(t, err)
	_, err = d.Forget("Mina")
	require.NoError(t, err)
	assert.NotContains(t, dump(t, d), "sharp_after_shift")
}

func TestAnExportFromBeforeMendingAndProgramsWereKeptIsRead(t *testing.T) {
	d := open(t)
	add(t, d, played(t, "Mina", monday, 28))
	out := filepath.Join(t.TempDir(), "out")
	exported(t, d, out)
	file := filepath.Join(out, "diary.json")
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	var all struct {
		Version int                        `json:"version"`
		Tables  map[string]json.RawMessage `json:"tables"`
	}
	require.NoError(t, json.Unmarshal(text, &all))
	delete(all.Tables, "mended")
	delete(all.Tables, "programs")
	all.Version = 2
	text, err = json.Marshal(all)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(file, text, 0o600))
	require.NoError(t, os.Remove(filepath.Join(out, "mended.csv")))
	require.NoError(t, os.Remove(filepath.Join(out, "programs.csv")))
	for range 2 {
		again := open(t)
		_, err := again.Import(out)
		require.NoError(t, err)
		is, err := again.Check()
		require.NoError(t, err)
		assert.Equal(t, 1, is.Takes)
		_ = os.Remove(file) // then from the tables
	}
}
