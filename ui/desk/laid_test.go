package desk

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/assets"
	"endpin/piece/notation"
	"endpin/ui/desk/score"
	"endpin/ui/desk/work"
)

// otherScore is another piece.
func otherScore(t *testing.T, title string) *score.Score {
	t.Helper()
	p, err := notation.Read("other.abc", []byte("X:1\nT:"+title+"\nM:4/4\nL:1/4\nQ:1/4=60\nK:C clef=bass\nC,D,E,F,|G,4|]\n"))
	require.NoError(t, err)
	return score.New(p, filepath.Join(t.TempDir(), "other.abc"))
}

func TestAPieceThatComesBackLiesThereAsItLay(t *testing.T) {
	b := newBench(t)
	recording := filepath.Join(b.folder, "mine.flac")
	require.NoError(t, os.WriteFile(recording, assets.DemoTake, 0o600))
	require.NoError(t, b.TypeRange("5-8"))
	b.SetWay(work.Echo)
	b.SetQPM(70)
	b.Open(recording)
	b.pump(t, func() bool { return b.Shown != nil })
	shown, first := b.Shown, b.Score
	b.Put(otherScore(t, "Other"))
	assert.Nil(t, b.Shown)
	assert.Empty(t, b.Takes, "the takes of the other piece are not this one's")
	assert.Equal(t, "1-2", b.Range())
	assert.Equal(t, 60.0, b.Work.QPM)
	b.Put(demoScore(t)) // read anew
	assert.NotSame(t, first, b.Score)
	assert.Same(t, shown, b.Shown)
	assert.Equal(t, "5-8", b.Range())
	assert.Equal(t, work.Echo, b.Work.Way)
	assert.Equal(t, 70.0, b.Work.QPM)
}

func TestTakesHangOnThePiecesNotesNotOnItsPathOrTitle(t *testing.T) {
	b := newBench(t)
	recording := filepath.Join(b.folder, "mine.flac")
	require.NoError(t, os.WriteFile(recording, assets.DemoTake, 0o600))
	b.Open(recording)
	b.pump(t, func() bool { return b.Shown != nil })
	m := b.means
	moved := demoScore(t)
	moved.File, moved.Piece.Title = "/elsewhere/renamed.xml", "By another name"
	assert.Len(t, New(moved, m).Takes, 1)
	alike := otherScore(t, demoScore(t).Title())
	alike.File = demoScore(t).File
	assert.Empty(t, New(alike, m).Takes, "the same title and path, but other notes")
}

func TestTheShelfKnowsWhichMeasuresWereClean(t *testing.T) {
	b := newBench(t)
	recording := filepath.Join(b.folder, "mine.flac")
	require.NoError(t, os.WriteFile(recording, assets.DemoTake, 0o600))
	b.Open(recording)
	b.pump(t, func() bool { return b.Shown != nil })
	assert.Equal(t, []string{"1", "2", "3", "4", "8", "10", "13", "14", "15", "16"}, b.Shown.Take.Clean)
	assert.Equal(t, []string{"5", "6", "7", "9", "11", "12"}, b.Shown.Take.Told)
	by, err := worked(b.means, "")
	require.NoError(t, err)
	w := by[b.Score.Content]
	require.NotNil(t, w)
	assert.True(t, w.Measures["1"][0].Clean)
	assert.False(t, w.Measures["9"][0].Clean)
	b.Dismiss(1, "That was the chair")
	by, err = worked(b.means, "")
	require.NoError(t, err)
	assert.True(t, by[b.Score.Content].Measures["9"][0].Clean, "what was put aside is no fault")
	by, err = worked(b.means, "Mina")
	require.NoError(t, err)
	assert.Empty(t, by, "nobody's takes are not Mina's")
}
