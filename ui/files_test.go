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
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece/class"
	"endpin/ui/desk/shelf"
	"endpin/ui/desk/work"
	"endpin/ui/prose"
	"endpin/ui/uitest"
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

// recordingFile is a file named as a recording; what would be heard in it is uitest.Told().
func recordingFile(t *testing.T, name string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	require.NoError(t, os.WriteFile(path, []byte("sound"), 0o600))
	return path
}

// drop drops files on the window.
func drop(w *Window, paths ...string) {
	var uris []fyne.URI
	for _, p := range paths {
		uris = append(uris, storage.NewFileURI(p))
	}
	w.dropped(fyne.NewPos(10, 10), uris)
}

func TestARecordingIsOpenedByDroppingIt(t *testing.T) {
	w, d, win, posted := table(t)
	mine := recordingFile(t, "Lesson three.m4a")
	drop(w, mine, mine)
	assert.True(t, uitest.Reads(win, "2 files were dropped: drop one recording, or one folder, at a time."))
	folder := t.TempDir()
	drop(w, folder)
	assert.True(t, w.class.Box().Visible(), "a folder is a class")
	drop(w, mine)
	require.True(t, d.Judging)
	assert.True(t, uitest.Reads(win, "Hearing Lesson three.m4a"), "with its progress")
	pump(t, posted, func() bool { return !d.Judging })
	require.NotNil(t, d.Shown)
	uitest.Press(t, win, "Takes")
	assert.True(t, uitest.Reads(win, "Lesson three"))
	uitest.Press(t, win, "All takes")
	assert.True(t, uitest.Reads(win, "▸ Lesson three"), "it stands among the takes, marked as the one shown")
}

func TestTheHearingOfARecordingIsCancelledByItsButton(t *testing.T) {
	w, d, win, posted := tableWhere(t, func(ctx context.Context) error { <-ctx.Done(); return ctx.Err() })
	w.take(recordingFile(t, "a.wav"))
	uitest.Press(t, win, "Cancel")
	pump(t, posted, func() bool { return !d.Judging })
	assert.True(t, uitest.Reads(win, "Stopped. Nothing was changed."))
	assert.Nil(t, d.Shown)
	assert.Empty(t, d.Takes)
}

func TestEveryKindOfRecordingCanBeChosen(t *testing.T) {
	for _, name := range []string{"a.wav", "a.WAV", "a.flac", "a.mp3", "a.m4a", "a.mp4", "a.MOV", "a.webm", "a.amr", "a.3gp", "a.aac", "a.opus", "a.ogg", "a.aiff", "a.wma", "a.caf"} {
		assert.True(t, named(class.IsMedia).Matches(storage.NewFileURI("/x/"+name)), name)
	}
	for _, name := range []string{"a.txt", "a.musicxml", "a.pdf", "wav"} {
		assert.False(t, named(class.IsMedia).Matches(storage.NewFileURI("/x/"+name)), name)
	}
}

func TestTheReportGoesWhereItIsToldToAndNothingIsWrittenOverUnasked(t *testing.T) {
	_, d, win, posted := table(t)
	uitest.ShowDemoTake(t, d)
	d.Shown.Take.Made = time.Date(2026, 11, 25, 17, 30, 0, 0, time.UTC)
	home := t.TempDir()
	t.Setenv("HOME", home)
	uitest.Press(t, win, "Takes")
	written := func() bool { return !strings.HasPrefix(d.Message, "Writing ") }
	path := filepath.Join(home, "Stairs to the Loft 2026-11-25 17.30.html")

	uitest.Press(t, win, "Save the report")
	uitest.Keep(t, win, "keep")
	uitest.PressOver(t, win, "Save")
	pump(t, posted, written)
	assert.Equal(t, "Kept as "+path+".", d.Message)
	assert.FileExists(t, path)

	require.NoError(t, os.WriteFile(path, []byte("mine"), 0o600))
	uitest.Press(t, win, "Save the report")
	uitest.PressOver(t, win, "Save")
	uitest.PressOver(t, win, "Cancel")
	kept, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, "mine", string(kept))
	uitest.Press(t, win, "Save the report")
	uitest.PressOver(t, win, "Save")
	uitest.PressOver(t, win, "Write over it")
	pump(t, posted, written)
	kept, err = os.ReadFile(path)
	require.NoError(t, err)
	assert.Contains(t, string(kept), "<html")

	uitest.Press(t, win, "Save the report")
	uitest.TypeOver(t, win, "for my teacher")
	uitest.PressOver(t, win, "Save")
	pump(t, posted, written)
	assert.FileExists(t, filepath.Join(home, "for my teacher.html"))
}

func TestATakeIsRemovedOnlyWhenAsked(t *testing.T) {
	w, d, win, posted := table(t)
	w.take(recordingFile(t, "Lesson three.m4a"))
	pump(t, posted, func() bool { return !d.Judging })
	uitest.Press(t, win, "Takes")
	uitest.Press(t, win, "All takes")
	uitest.Press(t, win, "Remove")
	uitest.PressOver(t, win, "Cancel")
	assert.Len(t, d.Takes, 1)
	uitest.Press(t, win, "Remove")
	uitest.PressOver(t, win, "Remove it")
	assert.Empty(t, d.Takes)
	assert.True(t, uitest.Reads(win, "None yet. A take is kept each time you play, and each recording that you open stands here too."))
	uitest.Press(t, win, "Heard")
	assert.True(t, uitest.Reads(win, "No take is shown. Play one, or open one of the takes."))
}

func TestAHundredTakesAreAListOfWhichOnlyWhatIsSeenIsThere(t *testing.T) {
	_, d, win, _ := table(t)
	for i := range 100 {
		d.Takes = append(d.Takes, &shelf.Take{Made: time.Date(2026, 11, 1, 8, i, 0, 0, time.UTC), QPM: 84, Way: work.PlayAlong, Measures: "5-8", Found: "4 things heard"})
	}
	uitest.Press(t, win, "Takes")
	uitest.Press(t, win, "All takes")
	assert.True(t, uitest.Reads(win, "Play along  ·  measures 5–8  ·  ♩ = 84  ·  4 things heard"))
	rows := 0
	for _, o := range test.LaidOutObjects(win.Content()) {
		if b, ok := o.(*prose.Button); ok && b.Text == "Remove" {
			rows++
		}
	}
	assert.Greater(t, rows, 4)
	assert.Less(t, rows, 20)
	uitest.Keep(t, win, "takes")
}
