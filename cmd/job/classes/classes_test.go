package classes

import (
	"bytes"
	"context"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/assets"
	"endpin/cmd/job"
	"endpin/dsp"
	"endpin/dsp/recording"
	"endpin/piece/class"
	"endpin/piece/finding"
	"endpin/piece/fingerboard"
	"endpin/piece/notation"
	"endpin/piece/words"
	"endpin/piece/words/pseudo"
)

// folder holds the demo take under these names.
func folder(t *testing.T, names ...string) Class {
	t.Helper()
	p, err := notation.Read(assets.DemoPieceName, assets.DemoPiece)
	require.NoError(t, err)
	bass := fingerboard.DoubleBass()
	c := Class{Pieces: []Piece{{Piece: p, File: "demo.musicxml"}}, Folder: t.TempDir(), Keep: filepath.Join(t.TempDir(), "out", "kept"),
		Options: finding.Options{Instrument: &bass, Level: finding.Intermediate}}
	for _, n := range names {
		require.NoError(t, os.WriteFile(filepath.Join(c.Folder, n), assets.DemoTake, 0o600))
	}
	return c
}

func slow(t *testing.T) {
	t.Helper()
	if testing.Short() {
		t.Skip("hears whole takes")
	}
}

func TestOneBadFileNeverStopsTheOthers(t *testing.T) {
	slow(t)
	c := folder(t, "Anna.flac", "Ben.flac")
	require.NoError(t, os.WriteFile(filepath.Join(c.Folder, "Cut.flac"), assets.DemoTake[:5000], 0o600))
	require.NoError(t, os.WriteFile(filepath.Join(c.Folder, "Empty.mp3"), nil, 0o600))
	require.NoError(t, os.Mkdir(filepath.Join(c.Folder, "older"), 0o700))
	heard, err := Hear(context.Background(), c)
	require.NoError(t, err)
	s, played := heard.Sheets[0], heard.Played
	require.Len(t, s.Students, 4)
	assert.Equal(t, []class.Status{class.Heard, class.Heard, class.NotHeard, class.NotHeard},
		[]class.Status{s.Students[0].Status, s.Students[1].Status, s.Students[2].Status, s.Students[3].Status})
	assert.Contains(t, s.Students[3].Reason, "is empty: copy it again")
	assert.Equal(t, []class.LeftOut{{File: "older", Reason: "a folder, which was not looked into: move its recordings up"}}, s.LeftOut)
	assert.NotEmpty(t, played["Anna.flac"].Moments)
	assert.Equal(t, s.Students[0].Findings, s.Students[1].Findings, "the same sound is heard the same, whoever else is heard")
}

func TestARunThatWasStoppedGoesOnWhereItEnded(t *testing.T) {
	slow(t)
	c := folder(t, "Anna.flac", "Ben.flac", "Cleo.flac", "Dan.flac", "Edo.flac")
	ctx, stop := context.WithCancel(context.Background())
	c.Told = func(p Progress) {
		if p.Done == 1 {
			stop()
		}
	}
	heard, err := Hear(ctx, c)
	require.ErrorIs(t, err, context.Canceled)
	s, played := heard.Sheets[0], heard.Played
	ended := len(played)
	assert.True(t, ended >= 1 && ended < 5, "%d of 5 were heard to their end", ended)
	assert.Equal(t, ended, s.HeardOf())
	assert.Len(t, s.Students, 5, "who was not heard yet is told")
	heardAgain := atomic.Int32{}
	c.Told = func(p Progress) {
		if whole := 5 * p.Heard; math.Abs(whole-math.Round(whole)) > 1e-6 { // a file in part
			heardAgain.Add(1)
		}
	}
	before := modified(t, c.Keep)
	heard, err = Hear(context.Background(), c)
	require.NoError(t, err)
	s = heard.Sheets[0]
	assert.Equal(t, 5, s.HeardOf())
	after := modified(t, c.Keep)
	require.Len(t, before, ended)
	require.Len(t, after, 5)
	for name, was := range before {
		assert.Equal(t, was, after[name], "not heard again")
	}
	heardAgain.Store(0)
	again, err := Hear(context.Background(), c)
	require.NoError(t, err)
	assert.Zero(t, heardAgain.Load())
	assert.Equal(t, findings(s), findings(again.Sheets[0]), "what was kept tells the same")
	c.Afresh = true
	_, err = Hear(context.Background(), c)
	require.NoError(t, err)
	assert.NotZero(t, heardAgain.Load())
}

// findings are those of a sheet as they are printed: indexes into the line are not kept.
func findings(s *class.Sheet) string {
	var b bytes.Buffer
	_ = job.WriteJSON(&b, s)
	return b.String()
}

func modified(t *testing.T, folder string) map[string]int64 {
	t.Helper()
	out := map[string]int64{}
	all, err := os.ReadDir(folder)
	require.NoError(t, err)
	for _, e := range all {
		info, err := e.Info()
		require.NoError(t, err)
		assert.Equal(t, fs.FileMode(0o600), info.Mode().Perm(), "for its owner alone")
		out[e.Name()] = info.ModTime().UnixNano()
	}
	return out
}

func TestAnotherLevelIsHeardAnew(t *testing.T) {
	c := folder(t, "Anna.flac")
	one, err := (&classRun{Class: c}).key("Anna.flac")
	require.NoError(t, err)
	c.Options.Level = finding.Advanced
	two, err := (&classRun{Class: c}).key("Anna.flac")
	require.NoError(t, err)
	assert.NotEqual(t, one, two)
}

func TestNoSoundIsKeptThatNoPageShows(t *testing.T) {
	slow(t)
	c := folder(t, "Anna.flac", "Anna (2).flac")
	heard, err := Hear(context.Background(), c)
	require.NoError(t, err)
	played := heard.Played
	kept := modified(t, c.Keep)
	assert.Len(t, kept, 2)
	assert.Len(t, played["Anna.flac"].Moments, 0)
	assert.NotEmpty(t, played["Anna (2).flac"].Moments)
	sounding := 0
	for name := range kept {
		data, err := os.ReadFile(filepath.Join(c.Keep, name))
		require.NoError(t, err)
		if bytes.Contains(data, []byte(`"wav"`)) {
			sounding++
		}
	}
	assert.Equal(t, 1, sounding)

	// The other take comes to count: then its sound is heard again.
	require.NoError(t, os.Remove(filepath.Join(c.Folder, "Anna (2).flac")))
	heard, err = Hear(context.Background(), c)
	require.NoError(t, err)
	played = heard.Played
	assert.NotEmpty(t, played["Anna.flac"].Moments)
	assert.Len(t, modified(t, c.Keep), 1, "nothing is kept of what is no longer in the folder")
	c.NoSound, c.Keep = true, t.TempDir()
	heard, err = Hear(context.Background(), c)
	require.NoError(t, err)
	played = heard.Played
	for _, p := range played {
		assert.Empty(t, p.Moments)
	}
}

func BenchmarkKeepsake(b *testing.B) {
	sound := make([]float32, 60*44100)
	buf := make([]float32, 4096)
	for range b.N {
		k := keep(&dsp.Samples{SampleRate: 44100, Data: sound})
		for {
			if _, err := k.Read(buf); err != nil {
				break
			}
		}
	}
}

func TestAMomentSoundsAsTheRecordingDidThere(t *testing.T) {
	for i, rate := range []int{8000, 8000, 11025, 11025, 44100, 44100, 48000, 48000} {
		long := i%2 == 1
		sound := make([]float32, 3*rate)
		for i := range sound {
			at := float64(i) / float64(rate)
			sound[i] = float32(0.3 * math.Sin(2*math.Pi*98*at))
			if rate > 22050 { // far above what is kept: must not fold down
				sound[i] += float32(0.3 * math.Sin(2*math.Pi*7500*at))
			}
		}
		k := keep(&dsp.Samples{SampleRate: rate, Data: sound})
		if long {
			k.shrink()
		}
		buf := make([]float32, 1000)
		for {
			if _, err := k.Read(buf); err != nil {
				break
			}
		}
		for _, from := range []float64{0, 0.5, 1, 2.5} {
			sound := k.at(from, from+1)
			assert.InDelta(t, min(1, 3-from)*keptRate, len(sound), 30, rate)
			worst := 0.0
			for i := 100; i < len(sound)-100; i++ {
				want := 0.3 * math.Sin(2*math.Pi*98*(from+float64(i)/keptRate))
				worst = max(worst, math.Abs(float64(sound[i])-want))
			}
			assert.Less(t, worst, 0.01, "%d samples a second, from %g s", rate, from)
		}
		got := k.between(1, 3)
		var b bytes.Buffer
		require.NoError(t, recording.WriteWAV(&b, keptRate, got))
		assert.Less(t, b.Len(), 33_000)
		assert.Nil(t, k.between(5, 7))
	}
}

func TestThePlaceOfAClassesPagesIsRefusedInWordsOfTheCatalogue(t *testing.T) {
	defer pseudo.Speak()()
	dir := t.TempDir()
	err := (&Class{Pieces: []Piece{{File: filepath.Join(dir, "A.abc")}}, Folder: dir}).Into(dir, "")
	require.Error(t, err)
	assert.Empty(t, pseudo.Plain(words.Told(err), dir), words.Told(err))
}
