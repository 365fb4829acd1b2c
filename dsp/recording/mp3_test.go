package recording

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp/sourcetest"
)

func TestMP3SoundsAsItWasMade(t *testing.T) {
	r := decoded(t, fixture(t, "tone.mp3"))
	assert.Equal(t, "MP3", r.Format())
	assert.InDelta(t, 0.5, r.Duration(), 1e-9, "the encoder's delay is not counted")
	isTheFixture(t, r, 0.475, true) // LAME lowers all it encodes to 0.95
}

func TestMP3IsASource(t *testing.T) {
	content := fixture(t, "tone.mp3")
	sourcetest.Check(t, source(t, file(t, "take", content)))
	sourcetest.Check(t, source(t, file(t, "short", content[:len(content)*2/3])))
}

// distance is the level of the difference of two sounds, dB re the first.
func distance(a, b []float32) float64 {
	n := min(len(a), len(b))
	return 20 * math.Log10(rms(plus(a[:n], times(b[:n], -1)))/rms(a[:n]))
}

// melody is a sound that changes, so that encoders use all that they have.
func melody(rate int) []float32 {
	out := []float32{}
	for i, freq := range []float64{41.2, 98, 61.7, 146.8, 73.4, 196} {
		note := tone(freq, rate, 0.4, 0.4)
		for h := 2; h < 12; h++ {
			note = plus(note, tone(freq*float64(h), rate, 0.4, 0.3/float64(h)))
		}
		for j := range note {
			note[j] *= float32(math.Exp(-float64(j) / float64(rate) * float64(i)))
			if note[j] > 1 || note[j] < -1 {
				note[j] = 0.9
			}
		}
		out = append(out, note...)
	}
	return out
}

// Outside check: ffmpeg's own decoder hears the same in the same place.
func TestMP3SoundsAsFFmpegDecodesIt(t *testing.T) {
	if testing.Short() {
		t.Skip("long, and nothing in it to race")
	}
	for _, rate := range []int{16000, 22050, 24000, 32000, 44100, 48000} {
		for i, how := range [][]string{
			{"-ac", "1", "-b:a", "32k"},
			{"-ac", "1", "-b:a", "64k"},
			{"-ac", "1", "-q:a", "4"},
			{"-ac", "2", "-b:a", "128k"},
			{"-ac", "2", "-q:a", "2"},
			{"-ac", "2", "-q:a", "9", "-joint_stereo", "1"},
			{"-ac", "2", "-b:a", "64k", "-joint_stereo", "0", "-write_xing", "0"},
			{"-ac", "1", "-b:a", "48k", "-reservoir", "0", "-id3v2_version", "3", "-write_id3v1", "1", "-metadata", "title=A"},
		} {
			if rate != 44100 && i%3 != rate%3 {
				continue // a sample of the others
			}
			dir := t.TempDir()
			made, packed, theirs := filepath.Join(dir, "made.wav"), filepath.Join(dir, "packed"), filepath.Join(dir, "theirs.wav")
			require.NoError(t, os.WriteFile(made, wavFile{tag: wavPCM, bits: 16, rate: rate, channels: 1}.with(melody(rate)), 0o600))
			args := append([]string{"-v", "error", "-i", made, "-c:a", "libmp3lame"}, how...)
			run(t, "ffmpeg", append(args, "-f", "mp3", packed)...)
			run(t, "ffmpeg", "-v", "error", "-i", packed, "-c:a", "pcm_f32le", "-f", "wav", theirs)
			name := fmt.Sprint(rate, how)
			r := opened(t, packed)
			got, want := heard(t, r), heard(t, opened(t, theirs))
			assert.Equal(t, rate, r.Rate(), name)
			assert.Equal(t, rate == 22050, r.Format() == "through ffmpeg", name)
			assert.Empty(t, r.Warning(), name)
			assert.InDelta(t, len(want), len(got), 1200, name)
			assert.Less(t, distance(want, got), -60.0, name)
		}
	}
}
