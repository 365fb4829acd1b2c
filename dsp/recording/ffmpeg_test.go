package recording

import (
	"bytes"
	"io"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp/sourcetest"
)

// made makes a file of two seconds of a 98 Hz sine with ffmpeg.
func made(t *testing.T, name string, how ...string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	args := []string{"-v", "error", "-f", "lavfi", "-i", "sine=frequency=98:sample_rate=48000:duration=2"}
	run(t, "ffmpeg", append(append(args, how...), "-af", "volume=4", path)...)
	return path
}

func TestEveryOtherFormatComesThroughFFmpeg(t *testing.T) {
	film := []string{"-f", "lavfi", "-i", "testsrc=size=64x64:rate=10:duration=2", "-shortest"}
	for name, how := range map[string][]string{
		"phone.m4a":  {"-c:a", "aac"},
		"film.mp4":   append(film, "-c:a", "aac", "-c:v", "mpeg4"),
		"film.mov":   append(film, "-c:a", "aac", "-c:v", "mpeg4"),
		"film.webm":  append(film, "-c:a", "libopus", "-c:v", "libvpx"),
		"film.mkv":   append(film, "-c:a", "flac", "-c:v", "mpeg4"),
		"take.ogg":   {"-c:a", "libvorbis"},
		"take.opus":  {"-c:a", "libopus"},
		"take.3gp":   {"-c:a", "aac"},
		"take.aiff":  {},
		"take.caf":   {},
		"take.au":    {},
		"take.aac":   {},
		"take.wma":   {"-c:a", "wmav2"},
		"take.w64":   {},
		"law.wav":    {"-c:a", "pcm_alaw"},
		"adpcm.wav":  {"-c:a", "adpcm_ms"},
		"low.mp3":    {"-c:a", "libmp3lame", "-ar", "11025"}, // MPEG-2.5
		"layer2.mp3": {"-c:a", "mp2", "-f", "mp2"},
	} {
		r := opened(t, made(t, name, how...))
		assert.Equal(t, "through ffmpeg", r.Format(), name)
		got := heard(t, r)
		assert.InDelta(t, 2*r.Rate(), len(got), float64(r.Rate())/10, name)
		got = middle(got)
		assert.InDelta(t, 0.5/1.4142, rms(got), 0.02, name)
		assert.Greater(t, part(got, 98, r.Rate()), 0.99, name)
		assert.Empty(t, r.Warning(), name)
	}
}

func TestRecordingThroughFFmpegIsASource(t *testing.T) {
	run(t, "ffmpeg", "-version")
	sourcetest.Check(t, source(t, file(t, "take", fixture(t, "tone.m4a"))))
}

func TestNameIsNeverAnOptionNorAnAddress(t *testing.T) {
	run(t, "ffmpeg", "-version")
	tone := fixture(t, "tone.m4a")
	t.Chdir(t.TempDir())
	for _, name := range []string{"-y", "-i.m4a", "pipe:0", "concat:a|b", "tone %d.m4a", "a'b\"c.m4a", "日本.m4a"} {
		require.NoError(t, os.WriteFile(name, tone, 0o600))
		r, err := Open(name)
		require.NoError(t, err, name)
		isTheFixture(t, r, 0.5, false)
		assert.NoError(t, r.Close())
	}
}

func TestEmbeddedSoundGoesThroughAPipe(t *testing.T) {
	ogg, err := os.ReadFile(made(t, "take.ogg", "-c:a", "libvorbis"))
	require.NoError(t, err)
	got := heard(t, decoded(t, ogg))
	assert.InDelta(t, 0.5/1.4142, rms(middle(got)), 0.02)
}

// A playlist sends ffmpeg elsewhere. As text it is refused before ffmpeg sees it;
// in disguise ffmpeg is told to refuse it.
func TestNoFileSendsUsToAnotherOrToTheNetwork(t *testing.T) {
	run(t, "ffmpeg", "-version")
	listen, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	asked := make(chan string, 100)
	server := &http.Server{Handler: http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) { asked <- r.URL.Path })}
	go server.Serve(listen)
	defer server.Close()
	secret := made(t, "secret.ts", "-c:a", "aac")
	for _, to := range []string{secret, "http://" + listen.Addr().String() + "/a.ts"} {
		for _, list := range []string{
			"#EXTM3U\n#EXT-X-TARGETDURATION:2\n#EXTINF:2,\n" + to + "\n#EXT-X-ENDLIST\n",
			"ffconcat version 1.0\nfile '" + to + "'\n",
		} {
			for _, disguise := range []string{"", "\x01\x02\x03\n"} {
				_, err := Open(file(t, "take.m4a", []byte(list+disguise)))
				require.Error(t, err)
				assert.NotContains(t, err.Error(), "\n")
			}
		}
	}
	assert.Empty(t, asked)
}

func TestWithoutFFmpegTheErrorSaysSo(t *testing.T) {
	withoutTools(t)
	path := file(t, "take.m4a", fixture(t, "tone.m4a"))
	_, err := Open(path)
	assert.ErrorContains(t, err, path+": recording.no-ffmpeg, is recording.is.other")
}

func TestWhatFFmpegCannotOpenIsSaidInOneLine(t *testing.T) {
	film := made(t, "mute.mp4", "-f", "lavfi", "-i", "testsrc=size=64x64:rate=10:duration=1", "-map", "1:v", "-c:v", "mpeg4")
	m4a := fixture(t, "tone.m4a")
	picture := made(t, "picture.png", "-f", "lavfi", "-i", "testsrc=size=64x64", "-map", "1:v", "-frames:v", "1")
	for path, want := range map[string]string{
		film:                                 "recording.no-sound",
		picture:                              "recording.unknown, is recording.is.other",
		file(t, "cut.m4a", m4a[:len(m4a)/2]): "cut.m4a: recording.no-end",
		file(t, "noise.wav", []byte(strings.Repeat("\x00\x9a\x07\x55", 5000))): "recording.unknown",
	} {
		_, err := Open(path)
		require.Error(t, err, want)
		assert.Contains(t, err.Error(), want)
		assert.NotContains(t, err.Error(), "\n")
	}
}

func TestDamagedPartsAreLeftOutAndSaid(t *testing.T) {
	ogg, err := os.ReadFile(made(t, "take.ogg", "-c:a", "libvorbis"))
	require.NoError(t, err)
	for i := len(ogg) / 2; i < len(ogg)/2+400; i++ {
		ogg[i] ^= 0x55
	}
	r := opened(t, file(t, "take.ogg", ogg))
	assert.Greater(t, len(heard(t, r)), 48000/2)
	require.NotNil(t, r.Warning())
	assert.Contains(t, r.Warning().Error(), "recording.warn.damaged, said ")
	assert.NotContains(t, r.Warning().Error(), "\n")
}

// A phone that sends nothing in a pause must not make what follows it early. Outside
// check: sox's encoder, which leaves pauses out.
func TestPausesThatAMRLeavesOutLastAsLong(t *testing.T) {
	dir := t.TempDir()
	wav, amr := filepath.Join(dir, "take.wav"), filepath.Join(dir, "take.amr-nb")
	run(t, "sox", "-n", "-r", "8000", "-b", "16", wav, "synth", "1", "sine", "220", "gain", "-6", "pad", "0", "1.5", "repeat", "3")
	run(t, "sox", "-V1", wav, "-C", "7", amr)
	content, err := os.ReadFile(amr)
	require.NoError(t, err)
	r := opened(t, file(t, "take.amr", content))
	got := heard(t, r)
	require.Greater(t, len(got), 8000*85/10, "to the end of the last note")
	for at := 0.0; at < 10; at += 2.5 {
		level := func(from, to float64) float64 { return rms(got[int((at+from)*8000):int((at+to)*8000)]) }
		assert.Greater(t, level(0.1, 0.9), 0.1, "sounding at %.1f s", at)
		if at < 7.5 {
			assert.Less(t, level(1.2, 2.3), 0.01, "silent after %.1f s", at)
		}
	}
	assert.EqualError(t, r.Warning(), "recording.warn.pauses")
}

// ofFFmpeg is the process at work on the recording.
func ofFFmpeg(r *Recording) *exec.Cmd { return r.sound.(*ffmpegSound).command }

func TestCloseEndsFFmpegAndWaitsForIt(t *testing.T) {
	long := made(t, "long.ogg", "-t", "2", "-c:a", "libvorbis")
	r := opened(t, long)
	_, err := r.Read(make([]float32, 100))
	require.NoError(t, err)
	closed := make(chan error, 1)
	go func() { closed <- r.Close() }()
	select {
	case err := <-closed:
		assert.NoError(t, err)
	case <-time.After(10 * time.Second):
		t.Fatal("Close does not come back")
	}
	assert.NotNil(t, ofFFmpeg(r).ProcessState, "reaped")
	_, err = r.Read(make([]float32, 100))
	assert.ErrorContains(t, err, "closed")
	assert.NoError(t, r.Close(), "twice is allowed")

	r = opened(t, long)
	heard(t, r)
	assert.NotNil(t, ofFFmpeg(r).ProcessState, "reaped at the end of the sound too")
}

func TestPipeThatNeverEndsIsClosedAllTheSame(t *testing.T) {
	au, err := os.ReadFile(made(t, "take.au"))
	require.NoError(t, err)
	more, _ := io.Pipe() // says nothing
	r, err := Decode("pipe", io.MultiReader(bytes.NewReader(au), more))
	require.NoError(t, err)
	begun := time.Now()
	assert.NoError(t, r.Close())
	assert.Less(t, time.Since(begun), 8*time.Second)
	assert.NotNil(t, ofFFmpeg(r).ProcessState, "reaped")
}
