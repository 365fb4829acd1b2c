package shelf

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/assets"
	"endpin/dsp/recording"
)

func TestTheReportIsWrittenWithoutWhatWasPutAside(t *testing.T) {
	b := newBench(t)
	b.opened(t, made(t, "mine.flac"))
	path := filepath.Join(t.TempDir(), "report.html")
	b.WriteReport(path)
	b.wrote(t)
	assert.Equal(t, "Kept as "+path+".", b.message)
	whole, err := os.ReadFile(path)
	require.NoError(t, err)
	late := b.Shown.Hearing.Findings[1].Short
	require.Contains(t, late, "ms late")
	assert.Contains(t, string(whole), late)
	info, err := os.Stat(path)
	require.NoError(t, err)
	assert.Equal(t, os.FileMode(0o600), info.Mode().Perm(), "for its owner alone to read")

	b.Dismiss(1, "That was the chair")
	b.WriteReport(path)
	b.wrote(t)
	less, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.NotContains(t, string(less), late)
	assert.Contains(t, string(less), "The player put one finding aside; it is not on this page.")
	assert.Len(t, b.Shown.Hearing.Findings, 4, "the hearing itself is as it was")
}

func TestTheSoundIsWrittenAsWAVWhateverItWas(t *testing.T) {
	b := newBench(t)
	b.opened(t, made(t, "mine.flac"))
	path := filepath.Join(t.TempDir(), "copy.wav")
	b.WriteSound(path)
	b.wrote(t)
	assert.Equal(t, "Kept as "+path+".", b.message)
	r, err := recording.Open(path)
	require.NoError(t, err)
	defer r.Close()
	assert.Equal(t, "WAV, 16-bit", r.Format())
	of, err := recording.Decode("demo", bytes.NewReader(assets.DemoTake))
	require.NoError(t, err)
	assert.Equal(t, of.Rate(), r.Rate())
	assert.Equal(t, samples(t, of), samples(t, r), "sample by sample")
}

func TestAFailedWriteLosesNothing(t *testing.T) {
	folder := t.TempDir()
	path := filepath.Join(folder, "report.html")
	require.NoError(t, os.WriteFile(path, []byte("last week's"), 0o600))
	err := whole(path, func(to *os.File) error {
		_, err := to.WriteString("half of")
		require.NoError(t, err)
		return errors.New("disk on fire")
	})
	assert.EqualError(t, err, "disk on fire")
	kept, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, "last week's", string(kept))
	left, err := os.ReadDir(folder)
	require.NoError(t, err)
	assert.Len(t, left, 1, "and leaves nothing behind")
}

func TestWhereNothingCanBeWrittenTheMendIsSaid(t *testing.T) {
	b := newBench(t)
	b.Shown = demoShown(t, &Take{})
	missing := filepath.Join(t.TempDir(), "gone", "report.html")
	b.WriteReport(missing)
	b.wrote(t)
	assert.Equal(t, missing+": cannot be written: there is no such folder: choose another.", b.message)
	folder := t.TempDir()
	b.WriteReport(folder)
	b.wrote(t)
	assert.Equal(t, folder+": cannot be written: a folder has that name: choose another name.", b.message)
}

func TestATakeIsNotWrittenOverItself(t *testing.T) {
	b := newBench(t)
	path := made(t, "mine.flac")
	b.opened(t, path)
	b.WriteSound(path)
	assert.Contains(t, b.message, "that is the take itself: choose another name.")
}

func TestANameHasPieceAndDate(t *testing.T) {
	b := newBench(t)
	b.Shown = demoShown(t, &Take{})
	b.Shown.Take.Made = time.Date(2026, 11, 25, 17, 30, 0, 0, time.UTC)
	assert.Equal(t, "Stairs to the Loft 2026-11-25 17.30.html", b.ExportName(".html"))
	b.Shown.Take.Player = "Zoë/Ann"
	assert.Equal(t, "Stairs to the Loft ZoëAnn 2026-11-25 17.30.html", b.ExportName(".html"), "of a class each has a report of his own")
	b.Shown.Take.Player = ""
	b.score.Piece.Title = `Etude 3: "Slow/Fast"? ` + strings.Repeat("long ", 30)
	name := b.ExportName(".wav")
	assert.Regexp(t, `^Etude 3 SlowFast long .* 2026-11-25 17\.30\.wav$`, name)
	assert.Less(t, len(name), 90)
}
