package recording

import (
	"bytes"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestContentDecidesNeverTheExtension(t *testing.T) {
	withoutTools(t)
	wav := wavFile{tag: wavPCM, bits: 16, rate: 16000, channels: 1}.with(tone(98, 16000, 0.5, 0.5))
	for format, content := range map[string][]byte{
		"WAV, 16-bit": wav, "FLAC, 16-bit": fixture(t, "tone.flac"), "MP3": fixture(t, "tone.mp3"),
	} {
		for _, name := range []string{"take", "take.wav", "take.mp3", "take.flac", "take.m4a", "take.txt"} {
			assert.Equal(t, format, opened(t, file(t, name, content)).Format(), name)
		}
	}
}

func TestTextIsNoRecordingWhateverItIsCalled(t *testing.T) {
	for what, text := range map[string]string{
		"a note":      "Practise measure 6 slowly.\n",
		"a tune":      "X:1\nT:Study\nM:4/4\nK:G\nGABc|\n",
		"MusicXML":    "<?xml version=\"1.0\"?>\n<score-partwise/>\n",
		"Latin-1":     "\xdcbung f\xfcr Kontrabass, Takt 6 bis 7, bitte sehr langsam\n",
		"UTF-16":      "\xff\xfeX\x00:\x001\x00",
		"a web page":  "<!DOCTYPE html><html><body>" + strings.Repeat("page ", 5000),
		"almost WAV":  "RIFF is a word, WAVE too",
		"almost FLAC": "fLaX",
	} {
		path := file(t, "take.wav", []byte(text))
		_, err := Open(path)
		assert.ErrorContains(t, err, path+": recording.text", what)
	}
}

func TestWhatCannotBeOpenedIsSaidInOneLine(t *testing.T) {
	dir := t.TempDir()
	tag := append([]byte("ID3\x04\x00\x00\x00\x00\x00\x0a"), make([]byte, 10)...)
	for path, want := range map[string]string{
		filepath.Join(dir, "none.wav"):        "recording.absent",
		dir:                                   "recording.folder",
		file(t, "empty.wav", nil):             "recording.empty",
		file(t, "tag.mp3", tag):               "recording.only-tag",
		file(t, "torn.mp3", tag[:len(tag)-5]): "recording.only-tag",
	} {
		_, err := Open(path)
		require.Error(t, err, want)
		assert.Contains(t, err.Error(), path+": "+want)
		assert.NotContains(t, err.Error(), "\n")
	}
	_, err := Open("nowhere/none.wav")
	assert.ErrorIs(t, err, os.ErrNotExist, "the cause is kept")
}

func TestMP3OfRubbishIsTold(t *testing.T) {
	mp3 := fixture(t, "tone.mp3")
	head, body := mp3[:20], mp3[20:] // a tag, and frames of 288 bytes
	whole := len(heard(t, decoded(t, mp3)))

	// A picture with sync words in it, in a tag before, between and after.
	picture := bytes.Repeat([]byte("\xff\xfb\x90\x00\xff\xf3\x40\x00"), 20)
	tag := append([]byte("ID3\x03\x00\x00\x00\x00\x01\x20"), picture...)
	ape := append(le32([]byte("APETAGEX\xd0\x07\x00\x00"), 160), append(make([]byte, 16), picture...)...)
	old := append([]byte("TAG"), bytes.Repeat([]byte("\xff\xf3\x40\x00\xff"), 25)...)
	for what, content := range map[string][]byte{
		"before":  append(bytes.Clone(tag), body...),
		"two":     append(append(bytes.Clone(head), tag...), body...),
		"between": append(append(append(bytes.Clone(head), body[:10*288]...), tag...), body[10*288:]...),
		"after":   append(append(bytes.Clone(mp3), ape...), old...),
	} {
		r := decoded(t, content)
		assert.Len(t, heard(t, r), whole, what)
		assert.Empty(t, r.Warning(), what)
	}

	torn := append(append(bytes.Clone(mp3[:10*288]), "rubbish in the middle"...), mp3[10*288+100:]...)
	r := decoded(t, torn)
	got := heard(t, r)
	assert.ErrorContains(t, r.Warning(), "recording.warn.damaged-at, at 0.")
	assert.InDelta(t, whole, len(got), 3*576)
	assert.Less(t, sharpest(got, 98), 100.0, "what is lost is left out, and no noise takes its place")

	short := decoded(t, mp3[:len(mp3)-100])
	heard(t, short)
	assert.EqualError(t, short.Warning(), "recording.warn.last-frame")
}

func TestMP3CutOutOfTheMiddleBeginsInSilenceNotInNoise(t *testing.T) {
	dir := t.TempDir()
	made, packed := filepath.Join(dir, "made.wav"), filepath.Join(dir, "packed.mp3")
	require.NoError(t, os.WriteFile(made, wavFile{tag: wavPCM, bits: 16, rate: 44100, channels: 1}.with(melody(44100)), 0o600))
	run(t, "ffmpeg", "-v", "error", "-i", made, "-c:a", "libmp3lame", "-b:a", "32k", "-write_xing", "0", packed)
	content, err := os.ReadFile(packed)
	require.NoError(t, err)
	whole := heard(t, decoded(t, content))
	for _, cut := range []int{len(content) / 3, len(content) / 2} {
		part := append([]byte("ID3\x03\x00\x00\x00\x00\x00\x00"), content[cut:]...)
		got := heard(t, decoded(t, part))
		assert.LessOrEqual(t, rms(got[:1152]), rms(whole), "no burst of noise")
		// Once it has the data that it lacks, the sound is as it was.
		n := len(got) - 4*1152
		assert.Less(t, distance(got[len(got)-n:], whole[len(whole)-n:]), -60.0)
	}
}

func TestFailureOnTheWayNamesTheFileAndStays(t *testing.T) {
	wav := wavFile{tag: wavPCM, bits: 16, rate: 16000, channels: 1}.with(tone(98, 16000, 20, 0.5))
	broken := errors.New("disk on fire")
	r, err := Decode("take", io.MultiReader(bytes.NewReader(wav[:200000]), iotest.ErrReader(broken)))
	require.NoError(t, err)
	n := 0
	for err == nil {
		var got int
		got, err = r.Read(make([]float32, 1000))
		n += got
	}
	assert.EqualError(t, err, "take: recording.failed, err disk on fire")
	assert.ErrorIs(t, err, broken)
	assert.Greater(t, n, 80000)
	_, again := r.Read(make([]float32, 1000))
	assert.Equal(t, err, again)
}

func TestNameAndChannelsAreToldAsInTheFile(t *testing.T) {
	path := file(t, "take", wavFile{tag: wavPCM, bits: 8, rate: 16000, channels: 6}.with(tone(98, 16000, 0.5, 0.5)))
	r := opened(t, path)
	assert.Equal(t, path, r.Name())
	assert.Equal(t, 6, r.Channels())
	assert.Equal(t, 16000, r.Rate())
}
