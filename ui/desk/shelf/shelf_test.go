package shelf

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp"
	"endpin/ui/desk/tape"
	"endpin/ui/desk/work"
)

// kept is a second of silence in the folder of takes.
func kept(t *testing.T, b *bench, found string) *Take {
	t.Helper()
	take := &Take{Made: b.Now(), Complete: true, Piece: b.score.File, Title: b.score.Title(), Found: found}
	require.NoError(t, os.MkdirAll(b.folder, 0o700))
	take.Place(b.folder)
	r, err := tape.New(tape.NewFile, take.Sound, 8000)
	require.NoError(t, err)
	r.Write(make([]float32, 8000))
	require.NoError(t, r.Close())
	return take
}

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
	reason, set := again.Takes[0].Reason(&b.Shown.Hearing.Findings[1])
	assert.True(t, set)
	assert.Equal(t, "That was the chair", reason)

	b.opened(t, path)
	assert.Len(t, b.Takes, 1, "the same recording is not two takes")
	_, set = b.Dismissed(1)
	assert.True(t, set, "and what was put aside in it stays so")
}

func TestATakeIsAtTheTempoAskedForWhereThatWasKeptTo(t *testing.T) {
	take := Take{Way: work.PlayAlong, QPM: 80, Heard: 78.9, Level: "first-year"}
	assert.Equal(t, 80.0, take.Tempo())
	take.Heard = 59.9
	assert.Equal(t, 59.9, take.Tempo())
}

func TestATakeThatIsRemovedIsGoneWithItsNotes(t *testing.T) {
	b := newBench(t)
	take := kept(t, b, "")
	b.Takes = []*Take{take}
	b.Show(demoShown(t, take))
	require.Len(t, names(t, b.folder), 2)
	b.playing = true
	b.Remove(take)
	assert.Len(t, b.Takes, 1, "not while something else goes on")
	b.playing = false
	b.Remove(take)
	assert.Empty(t, b.Takes)
	assert.Nil(t, b.Shown)
	assert.True(t, b.away, "nobody looks closer at it")
	assert.Empty(t, names(t, b.folder))
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
	folder := filepath.Join(b.folder, "full.wav") // a folder with something in it cannot be removed
	require.NoError(t, os.MkdirAll(filepath.Join(folder, "x"), 0o700))
	take := &Take{Sound: folder, kept: true}
	b.Takes = []*Take{take}
	b.Remove(take)
	assert.Len(t, b.Takes, 1)
	assert.Contains(t, b.message, folder+": cannot be removed: ")
}

func TestTheListIsOfThisPieceAndQuickWithAHundredTakes(t *testing.T) {
	b := newBench(t)
	for i := range 100 {
		take := kept(t, b, fmt.Sprint(i))
		take.Made = time.Date(2026, 11, 1, 8, i, 0, 0, time.UTC)
		if i%10 == 0 {
			take.Piece, take.Title = "other.abc", "Another piece"
		}
		require.NoError(t, take.Save())
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

func TestWhereTheDesksOwnTakesLieIsNotTold(t *testing.T) {
	own := &Take{Sound: "/takes/2026-11-25 17-30-00.wav", kept: true}
	assert.Equal(t, "Is empty: copy it again.", own.Trouble(dsp.Fault("recording.empty").Of(own.Sound)))
	elsewhere := &Take{Sound: "/home/ben.wav", Recording: "/home/ben.wav"}
	assert.Equal(t, "/home/ben.wav: is empty: copy it again.", elsewhere.Trouble(dsp.Fault("recording.empty").Of(elsewhere.Sound)))
}
