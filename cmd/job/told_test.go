package job

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp"
	"endpin/dsp/recording"
	"endpin/dsp/sound"
	"endpin/piece/words"
	"endpin/piece/words/pseudo"
)

func TestWhatIsWrongWithARecordingIsReadAsASentence(t *testing.T) {
	is := dsp.Fault("recording.is.wav-bits", "bits", 12)
	for want, err := range map[string]error{
		"take.wav: is a WAV with 12-bit samples: install ffmpeg to open it, or save it as WAV":                                       dsp.Fault("recording.no-ffmpeg", "is", is).Of("take.wav"),
		"take.wav: is cut short: its header promises 2.0 s and it holds 1.0 s":                                                       dsp.Fault("recording.warn.cut-short", "promised", 2.0, "held", 1.0).Of("take.wav"),
		"take.wav: has 4000 samples a second, not 8000 to 192000: save it at 44100":                                                  dsp.Fault("recording.rate", "rate", 4000, "least", 8000, "most", 192000).Of("take.wav"),
		`The microphone "Headset" is not plugged in; plug it in or choose another.`:                                                  &sound.Fault{Trouble: sound.Absent, Device: "Headset"},
		"This computer has no loudspeaker; plug one in and try again.":                                                               &sound.Fault{Trouble: sound.None, Output: true},
		"The microphone cannot be opened (ioctl failed); see that it is plugged in, or choose another.":                              &sound.Fault{Trouble: sound.Refused, Err: errors.New("ioctl failed")},
		"the ticks were not heard, or never at the same distance; turn the loudspeaker up, or hold the headphones to the microphone": sound.ErrNoTick,
	} {
		assert.Equal(t, want, words.Told(err))
		assert.Equal(t, want, words.Told(fmt.Errorf("reading: %w", err)), "wrapped by a programmer")
		assert.Equal(t, "class: "+want, OfFile("class", err).Error(), "in a sentence of ours")
	}
	for _, trouble := range []sound.Trouble{sound.None, sound.Absent, sound.Busy, sound.Pulled, sound.Changed, sound.Refused} {
		for _, output := range []bool{false, true} {
			for _, device := range []string{"", "Headset"} {
				for _, said := range []error{nil, errors.New("ioctl")} {
					key, _ := (&sound.Fault{Trouble: trouble, Output: output, Device: device, Err: said}).Message()
					assert.True(t, words.Here().Has(key), key)
				}
			}
		}
	}
	for _, s := range []sound.State{sound.TooLoud, sound.Silent, sound.VeryWeak, sound.Quiet, sound.WellHeard} {
		assert.True(t, words.Here().Has("sound.level."+string(s)), s)
		assert.Equal(t, s.Wrong(), words.Here().Has("sound.mend."+string(s)), s)
	}
}

func TestWhatIsWrongWithARecordingStandsApartFromItsFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "none: a take.wav")
	_, err := recording.Open(path)
	require.ErrorIs(t, err, fs.ErrNotExist)
	why, about := words.Reason(err, path)
	assert.Equal(t, "there is no such file: look at the name", why)
	assert.True(t, about)
	why, about = words.Reason(err, "another.wav")
	assert.Equal(t, path+": there is no such file: look at the name", why)
	assert.False(t, about)
	nothing := NotHeard{Recording: path, What: "few", Notes: 1, Most: "G", Piece: "tune.abc"}
	why, about = words.Reason(nothing, path)
	assert.Equal(t, "too little to tell whether it is tune.abc: only one note was heard, most often G; record more of it, or name the measures with --measures", why)
	assert.True(t, about)
}

// Every word of what goes wrong with files is another language's.
func TestErrorsSpeakTheLanguage(t *testing.T) {
	defer pseudo.Speak()()
	dir := t.TempDir()
	file := filepath.Join(dir, "A.abc")
	require.NoError(t, os.WriteFile(file, []byte("X:1\nK:G\nG4|\n"), 0o600))
	_, gone := ReadPiece(filepath.Join(dir, "B.abc"), "", nil)
	_, folder := ReadPiece(dir, "", nil)
	_, none := recording.Open(filepath.Join(dir, "B.wav"))
	_, text := recording.Open(file)
	_, asFolder := Diaries(dir).Of("")
	_, _, inNoFolder := Recordings(filepath.Join(dir, "C"), "")
	_, _, inFile := Recordings(file, "")
	_, leftOut, err := Recordings(dir, "")
	require.NoError(t, err)
	require.Len(t, leftOut, 1)
	errs := []error{gone, folder, none, text, asFolder, inNoFolder, inFile, errors.New(leftOut[0].Reason),
		WriteFile(filepath.Join(dir, "D", "E"), nil),
		&sound.Fault{Trouble: sound.Busy, Device: "D"}, sound.ErrNoTick}
	for _, what := range []string{"silence", "tone", "noise", "few", "covered", "other"} {
		errs = append(errs, NotHeard{Recording: file, What: what, Notes: 4, Most: "G", Piece: "A.abc", Warning: dsp.Fault("recording.warn.short")})
	}
	for _, err := range errs {
		require.Error(t, err)
		assert.Empty(t, pseudo.Plain(words.Told(err), dir, "A.abc", "B.abc", "B.wav", "--measures", "--diary", "WAV", "FLAC"), words.Told(err))
	}
}
