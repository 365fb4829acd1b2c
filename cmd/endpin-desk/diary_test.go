package main

import (
	"context"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/assets"
	"endpin/cmd/job"
	"endpin/piece/diary"
	"endpin/ui/desk/remembered"
	"endpin/ui/desk/weeks"
)

// A take that the desk heard lies in the diary as `endpin diary add` would have put
// it there: adding its file once more adds nothing, and its weeks are read back.
func TestTheDesksTakesLieInTheDiaryOfTheCommand(t *testing.T) {
	dir := t.TempDir()
	score, err := demoScore()
	require.NoError(t, err)
	take := filepath.Join(dir, "2026-11-02 17-30-00.flac")
	require.NoError(t, os.WriteFile(take, assets.DemoTake, 0o600))
	opts := remembered.Default().Judging()
	h, _, err := hear(context.Background(), score, take, opts, func(float64) {})
	require.NoError(t, err)
	for name, where := range map[string]string{"one file": filepath.Join(dir, "all.db"), "a file for each player": t.TempDir()} {
		t.Run(name, func(t *testing.T) {
			_, err := os.Stat(where)
			there := err == nil
			d := &diaries{where: job.Diaries(where)}
			players, err := d.Players()
			require.NoError(t, err)
			assert.Empty(t, players)
			m, err := d.Weeks("Mina", time.Time{})
			require.NoError(t, err)
			assert.Empty(t, m.Takes)
			_, err = os.Stat(where)
			assert.Equal(t, there, err == nil, "looking begins no diary")
			require.NoError(t, d.KeepSound("Mina", weeks.KeptSound{Keep: true, Limit: 1 << 30}))

			at := time.Date(2026, 11, 2, 17, 30, 0, 0, time.Local)
			r := weeks.Remembered{Player: "Mina", Score: score, Sound: take, At: at, Options: opts, Hearing: h}
			kept, err := d.Remember(r)
			require.NoError(t, err)
			assert.False(t, kept.Already)
			kept, err = d.Remember(r)
			require.NoError(t, err)
			assert.True(t, kept.Already)

			path, err := d.where.Of("Mina")
			require.NoError(t, err)
			open, err := diary.OpenThere(path)
			require.NoError(t, err)
			pieceFile := filepath.Join(t.TempDir(), "demo.musicxml")
			require.NoError(t, os.WriteFile(pieceFile, assets.DemoPiece, 0o600))
			a, err := job.Remember(open, job.Heard{Player: "Mina", Piece: score.Piece, PieceFile: pieceFile, Recording: take, Options: opts, Hearing: h}, time.Now())
			require.NoError(t, err)
			assert.True(t, a.Already, "by the command it is the same take")
			again, err := open.KeptBefore(h.Listening+1, "Mina")
			require.NoError(t, err)
			require.Len(t, again, 1, "its sound is kept, to be heard again")
			require.NoError(t, open.Close())
			require.NoError(t, os.Remove(pieceFile))

			m, err = d.Weeks("Mina", time.Time{})
			require.NoError(t, err)
			assert.Len(t, m.Takes, 1)
			assert.Len(t, m.Shifts, len(h.Landings))
			class, err := d.Class(time.Time{})
			require.NoError(t, err)
			assert.Len(t, class.Players, 1)
			s, err := d.Sound("Mina")
			require.NoError(t, err)
			assert.Equal(t, weeks.KeptSound{Keep: true, Limit: 1 << 30, Taken: int64(len(assets.DemoTake))}, s)
		})
	}
}
