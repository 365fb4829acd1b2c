package main

import (
	"bytes"
	"math"
	"math/rand"
	"os"
	"regexp"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/assets"
	"endpin/dsp/recording"
)

const rate = 22050

// wav is sound as a WAV file, 16-bit.
func wav(t *testing.T, sound []float32) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, recording.WriteWAV(&b, rate, sound))
	return b.Bytes()
}

// sound makes so many seconds of it, sample by sample.
func sound(seconds float64, sample func(i int) float64) []float32 {
	out := make([]float32, int(seconds*rate))
	for i := range out {
		out[i] = float32(sample(i))
	}
	return out
}

// tone is a steady G string, which no piece is.
func tone(seconds float64) []float32 {
	return sound(seconds, func(i int) float64 { return 0.3 * math.Sin(2*math.Pi*98*float64(i)/rate) })
}

// file reads a file of the repository, from its top.
func file(t *testing.T, path string) []byte {
	t.Helper()
	data, err := os.ReadFile("../../" + path)
	require.NoError(t, err)
	return data
}

// garbled flips bytes all over a file but for its first ones.
func garbled(data []byte, spare int) []byte {
	rng := rand.New(rand.NewSource(1))
	out := bytes.Clone(data)
	for range len(out) / 100 {
		out[spare+rng.Intn(len(out)-spare)] ^= byte(1 + rng.Intn(255))
	}
	return out
}

// rubbish is bytes without any order.
func rubbish(n int) []byte {
	out := make([]byte, n)
	rand.New(rand.NewSource(3)).Read(out)
	return out
}

var hiss = rand.New(rand.NewSource(2))

func noise(int) float64 { return 0.1 * hiss.NormFloat64() }

func TestARecordingThatCannotBeHeardIsToldInOneLine(t *testing.T) {
	piece, _ := demoFiles(t)
	mp3 := file(t, "dsp/recording/testdata/tone.mp3")
	for _, c := range []struct {
		name   string
		data   []byte
		status int
		says   string
	}{
		{"empty.wav", nil, unusable, "is empty: copy it again"},
		{"empty.flac", nil, unusable, "is empty: copy it again"},
		{"empty.mp3", nil, unusable, "is empty: copy it again"},
		{"header.wav", wav(t, tone(1))[:44], unusable, "holds no sound: it ends after its header; copy it again"},
		{"half-a-header.wav", wav(t, tone(1))[:20], unusable, "holds no sound: .*; copy it again"},
		{"header.flac", assets.DemoTake[:42], unusable, "holds no sound: .*; copy it again"},
		{"header.mp3", mp3[:40], unusable, ".*: copy it again, or save it as WAV"},
		{"damaged.flac", garbled(assets.DemoTake, 100000), unusable, `is damaged at \d+\.\d s: copy it again, or save the sound before that as WAV`},
		{"damaged-header.flac", append([]byte("fLaC"), garbled(assets.DemoTake[4:4000], 0)...), unusable, ".*copy it again"},
		{"damaged.mp3", slices.Concat(mp3[:len(mp3)/2], rubbish(5000), mp3[len(mp3)/2:]), notHeard, `.*; the recording is damaged at \d+\.\d s`},
		{"cut.mp3", mp3[:len(mp3)-100], notHeard, ".*; the recording is cut short"},
		{"text.wav", []byte("Dear teacher, here is my recording.\n"), unusable, "is a text file, not a recording: name a recording"},
		{"random.wav", rubbish(50000), unusable, "is not WAV, FLAC or MP3, and .*ffmpeg"},

		{"silence.wav", wav(t, make([]float32, 5*rate)), notHeard, "silence: nothing was heard; look at the microphone"},
		{"noise.wav", wav(t, sound(5, noise)), notHeard, "no notes were heard in it, only noise; move the microphone nearer"},
		{"drone.wav", wav(t, tone(5)), notHeard, "one unbroken tone and no notes were heard in it; turn off what hums"},
		{"note.wav", wav(t, append(make([]float32, rate), tone(2)...)), notHeard, "too little to tell whether it is demo.musicxml: only one note was heard, most often G; record more of it, or name the measures with --measures"},
		{"tone.mp3", mp3, notHeard, "(too little to tell whether it is demo.musicxml|one unbroken tone)"},
	} {
		t.Run(c.name, func(t *testing.T) {
			path := kept(t, c.name, c.data)
			out, errOut, status := endpin("hear", piece, path)
			assert.Equal(t, c.status, status)
			assert.Empty(t, out)
			assert.Regexp(t, oneLine, errOut)
			assert.Regexp(t, "^endpin: "+regexp.QuoteMeta(path)+": ("+c.says+")", errOut)
		})
	}
}

func TestNothingIsWrittenDownWhereNothingIsPlayed(t *testing.T) {
	for name, samples := range map[string][]float32{"silence.wav": make([]float32, 5*rate), "noise.wav": sound(5, noise)} {
		path := kept(t, name, wav(t, samples))
		page := path + ".abc"
		out, errOut, status := endpin("transcribe", path, "--out", page)
		assert.Equal(t, notHeard, status, name)
		assert.Empty(t, out)
		assert.Regexp(t, oneLine, errOut)
		assert.NoFileExists(t, page)
	}
}

func TestARecordingCutShortIsHeardAsFarAsItGoes(t *testing.T) {
	slow(t)
	piece, _ := demoFiles(t)
	whole := wav(t, listened(t))
	for name, data := range map[string][]byte{
		"cut.flac": assets.DemoTake[:len(assets.DemoTake)/2],
		"cut.wav":  whole[:len(whole)/2],
	} {
		out, errOut, status := endpin("hear", piece, kept(t, name, data))
		assert.Equal(t, heard, status, errOut)
		assert.Regexp(t, `The recording is cut short: its header promises 47.6 s and it holds 2\d.\d s`, out, name)
		assert.Contains(t, out, "sharp after the shift", "%s: what is there is heard", name)
		assert.NotContains(t, out, "held short", "%s: what is not there is not", name)
	}
}

func TestAClippedRecordingIsToldToBeClipped(t *testing.T) {
	slow(t)
	piece, _ := demoFiles(t)
	loud := listened(t)
	for i, s := range loud {
		loud[i] = max(-1, min(1, 40*s))
	}
	path := kept(t, "loud.wav", wav(t, loud))
	out, errOut, status := endpin("hear", piece, path)
	assert.Equal(t, heard, status, errOut)
	assert.Regexp(t, `not sure: the recording is too loud and clipped: move the`, out)
}

func TestDigitalSilenceIsNotTakenForTheRoom(t *testing.T) {
	slow(t)
	piece, take := demoFiles(t)
	want, _, _ := endpin("hear", piece, take)
	silent := append(listened(t), make([]float32, 120*rate)...)
	got, errOut, status := endpin("hear", piece, kept(t, "silent.wav", wav(t, silent)))
	assert.Equal(t, heard, status, errOut)
	table := func(out string) string { return regexp.MustCompile(`(?s)Measure .*?\n\n`).FindString(out) }
	assert.Equal(t, table(want), table(got))
	assert.Contains(t, table(got), "late: D on beat 1", "the late note comes after a pause in which the room is heard")
}

// listened is the demo take, sample by sample.
func listened(t *testing.T) []float32 {
	t.Helper()
	r, err := recording.Decode(assets.DemoTakeName, bytes.NewReader(assets.DemoTake))
	require.NoError(t, err)
	defer r.Close()
	require.Equal(t, rate, r.Rate())
	var all []float32
	buf := make([]float32, 8192)
	for {
		n, err := r.Read(buf)
		if err != nil {
			return all
		}
		all = append(all, buf[:n]...)
	}
}
