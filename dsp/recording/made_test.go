package recording

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The tags are ffmpeg's, as phones and recorders write them.
func TestARecorderSaysWhenItRecorded(t *testing.T) {
	dir := t.TempDir()
	want := time.Date(2026, 11, 20, 17, 30, 5, 0, time.UTC)
	for file, tags := range map[string][]string{
		"a.wav":  {"-metadata", "date=2026-11-20T17:30:05Z"},
		"b.wav":  {"-write_bext", "1", "-metadata", "origination_date=2026-11-20", "-metadata", "origination_time=" + want.Local().Format("15:04:05")},
		"c.flac": {"-metadata", "date=2026-11-20T17:30:05Z"},
		"d.mp3":  {"-metadata", "date=2026-11-20T17:30:05Z"},
		"e.ogg":  {"-metadata", "date=2026-11-20T17:30:05Z"},
		"f.m4a":  {"-metadata", "creation_time=2026-11-20T17:30:05Z"},
		"g.mp4":  {"-metadata", "creation_time=2026-11-20T17:30:05Z", "-movflags", "+faststart"},
		"h.opus": {"-metadata", "date=2026-11-20T17:30:05Z"},
	} {
		path := filepath.Join(dir, file)
		args := append([]string{"-v", "error", "-y", "-f", "lavfi", "-i", "sine=98:duration=0.3", "-strict", "-2"}, tags...)
		run(t, "ffmpeg", append(args, path)...)
		assert.True(t, Made(path).Equal(want), "%s: %s", file, Made(path))
	}
}

func TestWhatSaysNothingOfItsDateHasNone(t *testing.T) {
	dir := t.TempDir()
	for name, data := range map[string]string{"empty": "", "short": "RIFF", "list": "RIFF\xff\xff\xff\xffWAVELIST\xff\xff\xff\xffINFOICRD\xff\xff\xff\x7f2026",
		"moov": "\x00\x00\x00\x10moov\x00\x00\x00\x08mvhd", "flac": "fLaC\x84\x00\x00\x08\xff\xff\xff\xff\xff\xff\xff\xff", "id3": "ID3\x04TDRC\x00\x00\x00\x05\x00\x00\x002026", "ogg": "OggSOpusTags\x01"} {
		path := filepath.Join(dir, name)
		require.NoError(t, os.WriteFile(path, []byte(data), 0o600))
		assert.Zero(t, Made(path), name)
	}
	assert.Zero(t, Made(dir))
	assert.Zero(t, Made(filepath.Join(dir, "none")))
}
