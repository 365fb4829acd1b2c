package recording

import (
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp/sourcetest"
)

// withAfconvert makes the test run as on a Mac without ffmpeg. No Mac ran it: what stands in for
// afconvert takes its arguments, and writes by ffmpeg what it writes: 16-bit WAV, with a chunk
// before the sound that fills a page (from memory).
func withAfconvert(t *testing.T) {
	t.Helper()
	if runtime.GOOS == "windows" {
		t.Skip("the stand-in is a shell's")
	}
	run(t, "ffmpeg", "-version")
	ffmpeg, err := exec.LookPath("ffmpeg")
	require.NoError(t, err)
	shell, err := exec.LookPath("sh")
	require.NoError(t, err)
	folder := t.TempDir()
	script := "#!" + shell + `
[ "$1 $2 $3 $4" = "-f WAVE -d LEI16" ] && [ $# = 6 ] || { echo "usage" >&2; exit 2; }
` + ffmpeg + ` -nostdin -v error -i "$5" -vn -c:a pcm_s16le -f wav "$6.plain" || { echo "Error: ExtAudioFileOpenURL failed ('typ?')" >&2; exit 1; }
{ head -c 36 "$6.plain"; printf 'FLLR\006\000\000\000filled'; tail -c +37 "$6.plain"; } > "$6"
`
	require.NoError(t, os.WriteFile(filepath.Join(folder, "afconvert"), []byte(script), 0o700))
	t.Setenv("PATH", folder+":"+onlyCoreutils(t))
}

// onlyCoreutils is a folder with what the stand-in calls.
func onlyCoreutils(t *testing.T) string {
	t.Helper()
	folder := t.TempDir()
	for _, name := range []string{"head", "tail", "printf"} {
		at, err := exec.LookPath(name)
		require.NoError(t, err)
		require.NoError(t, os.Symlink(at, filepath.Join(folder, name)))
	}
	return folder
}

func TestAMacOpensWhatPhonesSendWithoutFFmpeg(t *testing.T) {
	phone := made(t, "phone.m4a", "-c:a", "aac", "-ac", "2")
	left := filepath.Join(t.TempDir(), "tmp")
	require.NoError(t, os.Mkdir(left, 0o700))
	withAfconvert(t)
	t.Setenv("TMPDIR", left)
	r := opened(t, phone)
	assert.Equal(t, "through afconvert", r.Format())
	got := heard(t, r)
	assert.InDelta(t, 2*r.Rate(), len(got), float64(r.Rate())/10)
	assert.Greater(t, part(middle(got), 98, r.Rate()), 0.99)
	sourcetest.Check(t, source(t, file(t, "take", fixture(t, "tone.m4a"))))
	isTheFixture(t, decoded(t, fixture(t, "tone.m4a")), 0.5, false)
	there, err := os.ReadDir(left)
	require.NoError(t, err)
	assert.Empty(t, there, "nothing is left of what was converted")
}

func TestWhatAfconvertDoesNotOpenSaysWhatWould(t *testing.T) {
	withAfconvert(t)
	_, err := Open(file(t, "take.webm", []byte("\x1a\x45\xdf\xa3 no sound in it")))
	require.ErrorContains(t, err, "recording.no-ffmpeg, is recording.is.other")
	assert.NotContains(t, err.Error(), "\n")
}
