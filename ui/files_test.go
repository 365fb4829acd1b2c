package ui

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/storage"
	"fyne.io/fyne/v2/test"
	"fyne.io/fyne/v2/widget"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/ui/desk"
)

func pump(t *testing.T, posted chan func(), until func() bool) {
	t.Helper()
	for end := time.After(30 * time.Second); !until(); {
		select {
		case f := <-posted:
			f()
		case <-end:
			t.Fatal("nothing more happened")
		}
	}
}

// recordingFile is a file named as a recording; what would be heard in it is told().
func recordingFile(t *testing.T, name string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	require.NoError(t, os.WriteFile(path, []byte("sound"), 0o600))
	return path
}

func TestARecordingIsOpenedByDroppingIt(t *testing.T) {
	w, d, win, posted := table(t)
	drop := func(paths ...string) {
		var uris []fyne.URI
		for _, p := range paths {
			uris = append(uris, storage.NewFileURI(p))
		}
		w.dropped(fyne.NewPos(10, 10), uris)
	}
	mine := recordingFile(t, "Lesson three.m4a")
	drop(mine, mine)
	assert.True(t, reads(win, "2 files were dropped: drop one recording at a time."))
	folder := t.TempDir()
	drop(folder)
	assert.True(t, reads(win, folder+": is a folder: choose one recording in it."))
	drop(mine)
	require.True(t, d.Judging)
	assert.True(t, reads(win, "Hearing Lesson three.m4a "), "with its progress")
	pump(t, posted, func() bool { return !d.Judging })
	require.NotNil(t, d.Shown)
	press(t, win, "Takes")
	assert.True(t, reads(win, "Lesson three.m4a"))
	press(t, win, "All takes")
	assert.True(t, reads(win, "▸ Lesson three.m4a"), "it stands among the takes, marked as the one shown")
}

func TestTheHearingOfARecordingIsCancelledByItsButton(t *testing.T) {
	w, d, win, posted := tableWhere(t, func(ctx context.Context) error { <-ctx.Done(); return ctx.Err() })
	w.take(recordingFile(t, "a.wav"))
	press(t, win, "Cancel")
	pump(t, posted, func() bool { return !d.Judging })
	assert.True(t, reads(win, "Stopped. Nothing was changed."))
	assert.Nil(t, d.Shown)
	assert.Empty(t, d.Takes)
}

func TestEveryKindOfRecordingCanBeChosen(t *testing.T) {
	for _, name := range []string{"a.wav", "a.WAV", "a.flac", "a.mp3", "a.m4a", "a.mp4", "a.MOV", "a.webm", "a.amr", "a.3gp", "a.aac", "a.opus", "a.ogg", "a.aiff", "a.wma", "a.caf"} {
		assert.True(t, recordings{}.Matches(storage.NewFileURI("/x/"+name)), name)
	}
	for _, name := range []string{"a.txt", "a.musicxml", "a.pdf", "wav"} {
		assert.False(t, recordings{}.Matches(storage.NewFileURI("/x/"+name)), name)
	}
}

func TestTheReportGoesWhereItIsToldToAndNothingIsWrittenOverUnasked(t *testing.T) {
	w, d, win, posted := table(t)
	demoShown(t, d)
	d.Shown.Take.Made = time.Date(2026, 11, 25, 17, 30, 0, 0, time.UTC)
	w.files.to = t.TempDir()
	press(t, win, "Takes")
	written := func() bool { return !strings.HasPrefix(d.Message, "Writing ") }
	path := filepath.Join(w.files.to, "Stairs to the Loft 2026-11-25 17.30.html")

	press(t, win, "Keep the report")
	look(t, win, "keep")
	pressOver(t, win, "Keep")
	pump(t, posted, written)
	assert.Equal(t, "Kept as "+path+".", d.Message)
	assert.FileExists(t, path)

	require.NoError(t, os.WriteFile(path, []byte("mine"), 0o600))
	press(t, win, "Keep the report")
	pressOver(t, win, "Keep")
	pressOver(t, win, "Leave it")
	kept, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, "mine", string(kept))
	press(t, win, "Keep the report")
	pressOver(t, win, "Keep")
	pressOver(t, win, "Write over it")
	pump(t, posted, written)
	kept, err = os.ReadFile(path)
	require.NoError(t, err)
	assert.Contains(t, string(kept), "<html")

	press(t, win, "Keep the report")
	typeOver(t, win, "for my teacher")
	pressOver(t, win, "Keep")
	pump(t, posted, written)
	assert.FileExists(t, filepath.Join(w.files.to, "for my teacher.html"))
}

func TestATakeIsRemovedOnlyWhenAsked(t *testing.T) {
	w, d, win, posted := table(t)
	w.take(recordingFile(t, "Lesson three.m4a"))
	pump(t, posted, func() bool { return !d.Judging })
	press(t, win, "Takes")
	press(t, win, "All takes")
	press(t, win, "Remove")
	pressOver(t, win, "Leave it")
	assert.Len(t, d.Takes, 1)
	press(t, win, "Remove")
	pressOver(t, win, "Remove it")
	assert.Empty(t, d.Takes)
	assert.True(t, reads(win, "None yet. A take is kept each time you play, and each recording that you open stands here too."))
	press(t, win, "Heard")
	assert.True(t, reads(win, "No take is shown. Play one, or open one of the takes."))
}

func TestAHundredTakesAreAListOfWhichOnlyWhatIsSeenIsThere(t *testing.T) {
	_, d, win, _ := table(t)
	for i := range 100 {
		d.Takes = append(d.Takes, &desk.Take{Made: time.Date(2026, 11, 1, 8, i, 0, 0, time.UTC), QPM: 84, Way: desk.PlayAlong, Measures: "5-8", Found: "4 things heard"})
	}
	press(t, win, "Takes")
	press(t, win, "All takes")
	assert.True(t, reads(win, "measures 5–8  ·  ♩ = 84  ·  4 things heard"))
	rows := 0
	for _, o := range test.LaidOutObjects(win.Content()) {
		if b, ok := o.(*widget.Button); ok && b.Text == "Remove" {
			rows++
		}
	}
	assert.Greater(t, rows, 4)
	assert.Less(t, rows, 20)
	look(t, win, "takes")
}
