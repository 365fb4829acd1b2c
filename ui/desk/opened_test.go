package desk

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/assets"
	"endpin/ui/desk/tape"
	"endpin/ui/desk/work"
)

// made puts a recording that was made elsewhere into a folder of its own.
func made(t *testing.T, name string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	require.NoError(t, os.WriteFile(path, assets.DemoTake, 0o600))
	return path
}

func (b *bench) opened(t *testing.T, path string) {
	t.Helper()
	b.Open(path)
	b.pump(t, func() bool { return !b.Judging })
}

// anew is the desk at the next start.
func (b *bench) anew() *Desk { return New(b.Score, b.means) }

func TestARecordingMadeElsewhereIsATakeOfTheListAndStaysOne(t *testing.T) {
	b := newBench(t)
	path := made(t, "Lesson three.flac")
	b.opened(t, path)
	require.Len(t, b.Takes, 1)
	assert.True(t, b.Takes[0].Elsewhere())
	assert.Equal(t, "4 things heard", b.Takes[0].Found)
	assert.InDelta(t, 84, b.Takes[0].Tempo(), 1, "as it was heard: nobody asked for a tempo")
	b.Dismiss(1, "That was the chair")

	again := b.anew()
	require.Len(t, again.Takes, 1)
	assert.Equal(t, path, again.Takes[0].Sound)
	assert.Equal(t, "3 things heard", again.Takes[0].Found)
	reason, set := again.Takes[0].dismissed(&b.Shown.Hearing.Findings[1])
	assert.True(t, set)
	assert.Equal(t, "That was the chair", reason)

	b.opened(t, path)
	assert.Len(t, b.Takes, 1, "the same recording is not two takes")
	_, set = b.Dismissed(1)
	assert.True(t, set, "and what was put aside in it stays so")
}

func TestWhatCannotBeHeardIsNoTake(t *testing.T) {
	b := newBench(t)
	b.opened(t, "nowhere/take.m4a")
	assert.Empty(t, b.Takes)
	assert.Regexp(t, `nowhere/take.m4a: there is no such file: look at the name\.$`, b.Message)
	path := filepath.Join(t.TempDir(), "notes.wav")
	require.NoError(t, os.WriteFile(path, []byte("Practise measure 6 slowly.\n"), 0o600))
	b.opened(t, path)
	assert.Empty(t, b.Takes)
	assert.Contains(t, b.Message, path+": is a text file, not a recording")
}

func TestOneThingAtATime(t *testing.T) {
	b := newBench(t)
	b.Open(made(t, "a.flac"))
	b.Open(made(t, "b.flac"))
	assert.Equal(t, "One take at a time: wait until this one is heard, or cancel it, then open the recording.", b.Message)
	b.Cancel()
	b.pump(t, func() bool { return !b.Judging })
	assert.Empty(t, b.Takes)
}

func TestATakeThatIsRemovedIsGoneWithItsNotes(t *testing.T) {
	b := newBench(t)
	b.SetWay(work.PlayAlone)
	b.Start()
	b.pump(t, func() bool { return b.Shown != nil })
	take := b.Takes[0]
	b.LookCloser(4)
	require.NotNil(t, b.Closer())
	b.Remove(take)
	assert.Empty(t, b.Takes)
	assert.Nil(t, b.Shown)
	assert.Nil(t, b.Closer())
	left, err := os.ReadDir(filepath.Join(b.folder, "takes"))
	require.NoError(t, err)
	assert.Empty(t, left)
}

func TestARecordingMadeElsewhereIsNeverRemoved(t *testing.T) {
	b := newBench(t)
	path := made(t, "mine.flac")
	b.opened(t, path)
	b.Remove(b.Takes[0])
	assert.Empty(t, b.Takes)
	assert.Empty(t, b.anew().Takes)
	assert.FileExists(t, path)
}

func TestATakeThatCannotBeRemovedIsNamedAndStays(t *testing.T) {
	b := newBench(t)
	folder := filepath.Join(b.folder, "takes", "full.wav") // a folder with something in it cannot be removed
	require.NoError(t, os.MkdirAll(filepath.Join(folder, "x"), 0o700))
	take := &Take{Sound: folder, kept: true}
	b.Takes = []*Take{take}
	b.Remove(take)
	assert.Len(t, b.Takes, 1)
	assert.Contains(t, b.Message, folder+": cannot be removed: ")
}

func TestTheListIsOfThisPieceAndQuickWithAHundredTakes(t *testing.T) {
	b := newBench(t)
	folder := b.means.Folder
	require.NoError(t, os.MkdirAll(folder, 0o700))
	for i := range 100 {
		sound := newSound(folder, time.Date(2026, 11, 1, 8, i, 0, 0, time.UTC))
		r, err := tape.New(tape.NewFile, sound, 8000)
		require.NoError(t, err)
		r.Write(make([]float32, 8000))
		require.NoError(t, r.Close())
		take := &Take{Sound: sound, kept: true, Complete: true, Made: time.Date(2026, 11, 1, 8, i, 0, 0, time.UTC),
			Piece: "demo.musicxml", Title: "Stairs to the Loft", Found: fmt.Sprint(i)}
		if i%10 == 0 {
			take.Piece, take.Title = "other.abc", "Another piece"
		}
		require.NoError(t, take.save())
	}
	began := time.Now()
	d := b.anew()
	assert.Less(t, time.Since(began), 2*time.Second)
	require.Len(t, d.Takes, 90)
	assert.Equal(t, "99", d.Takes[0].Found, "the newest first")
}

func TestATakeThatIsPutAsideIsNotCleanlyForgotten(t *testing.T) {
	b := newBench(t)
	b.opened(t, made(t, "mine.flac"))
	b.Dismiss(0, "my own words: I bent that on purpose")
	reason, set := b.Dismissed(0)
	assert.True(t, set)
	assert.Equal(t, "my own words: I bent that on purpose", reason)
	assert.Equal(t, "3 things heard", b.Takes[0].Found)
	b.Dismiss(0, "")
	_, set = b.Dismissed(0)
	assert.False(t, set, "it is taken back")
	assert.Equal(t, "4 things heard", b.anew().Takes[0].Found)
}
