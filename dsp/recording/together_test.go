package recording

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestRecordingsOpenedTogetherHoldWhatEachHoldsAlone(t *testing.T) {
	m4a, ogg := made(t, "phone.m4a", "-c:a", "aac"), made(t, "take.ogg", "-c:a", "libvorbis", "-ac", "2")
	wav := made(t, "take.wav")
	whole, err := os.ReadFile(ogg)
	require.NoError(t, err)
	for i := len(whole) / 2; i < len(whole)/2+400; i++ {
		whole[i] ^= 0x55
	}
	torn := file(t, "torn.ogg", whole)
	none := filepath.Join(t.TempDir(), "none.m4a")
	noise := file(t, "noise.m4a", []byte("\x01\x02\x03\n no recording at all"))
	for name, paths := range map[string][]string{
		"sound ones":          {m4a, wav, ogg, m4a},
		"one that is torn":    {m4a, torn, ogg},
		"one that is away":    {m4a, none, ogg},
		"one that is no take": {m4a, noise, ogg, wav},
		"one":                 {m4a},
		"nothing":             {},
	} {
		all, errs := Together(paths)
		require.Len(t, all, len(paths), name)
		for i, path := range paths {
			alone, err := Open(path)
			if err != nil {
				assert.EqualError(t, errs[i], err.Error(), name)
				assert.Nil(t, all[i], name)
				continue
			}
			require.NoError(t, errs[i], name)
			assert.Equal(t, heard(t, alone), heard(t, all[i]), name)
			assert.Equal(t, alone.Warning(), all[i].Warning(), name)
			assert.Equal(t, alone.Format(), all[i].Format(), name)
			assert.Equal(t, alone.Duration(), all[i].Duration(), name)
			assert.Equal(t, path, all[i].Name(), name)
			assert.NoError(t, all[i].Close())
			assert.NoError(t, alone.Close())
		}
	}
}

func TestSoundOnesOpenedTogetherAreOneFFmpegsWork(t *testing.T) {
	m4a := made(t, "phone.m4a", "-c:a", "aac")
	all, errs := Together([]string{m4a, m4a})
	for i, r := range all {
		require.NoError(t, errs[i])
		_, own := r.sound.(*ffmpegSound)
		assert.False(t, own, "no process of its own")
		assert.NoError(t, r.Close())
	}
}

func TestMoreSoundThanIsToBeHeldIsOpenedAlone(t *testing.T) {
	long := filepath.Join(t.TempDir(), "long.ogg")
	run(t, "ffmpeg", "-v", "error", "-f", "lavfi", "-i", "aevalsrc=0:s=48000:d=200", "-c:a", "libvorbis", long)
	all, errs := Together([]string{long, long})
	for i, r := range all {
		require.NoError(t, errs[i])
		_, own := r.sound.(*ffmpegSound)
		assert.True(t, own, "a process of its own")
		assert.NoError(t, r.Close())
	}
}
