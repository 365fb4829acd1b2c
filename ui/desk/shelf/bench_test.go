package shelf

import (
	"bytes"
	"io"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"endpin/assets"
	"endpin/dsp"
	"endpin/dsp/recording"
	"endpin/piece/finding"
	"endpin/piece/notation"
	"endpin/ui/desk/playback"
	"endpin/ui/desk/score"
)

// bench is a shelf whose goroutine is the test: what others post is done when the
// test pumps.
type bench struct {
	*Shelf
	message    string
	playing    bool
	away       bool // the closer look was closed
	remembered []*Take
	score      *score.Score
	posted     chan func()
}

func (b *bench) Post(f func())                        { b.posted <- f }
func (b *bench) Changed()                             {}
func (b *bench) Say(sentence string)                  { b.message = sentence }
func (b *bench) Fault(sentence string)                { b.Say(sentence) }
func (b *bench) Now() time.Time                       { return time.Date(2026, 11, 25, 17, 30, 0, 0, time.UTC) }
func (b *bench) Score() *score.Score                  { return b.score }
func (b *bench) Busy(string) bool                     { return b.playing }
func (b *bench) LookAway()                            { b.away = true }
func (b *bench) Remember(t *Take, _ *finding.Hearing) { b.remembered = append(b.remembered, t) }
func (b *bench) Player() playback.Player {
	return playback.Player{Open: func(path string) (playback.Recording, error) { return recording.Open(path) }}
}

func newBench(t *testing.T) *bench {
	t.Helper()
	p, err := notation.Read(assets.DemoPieceName, assets.DemoPiece)
	require.NoError(t, err)
	b := &bench{score: score.New(p, "demo.musicxml"), posted: make(chan func(), 100)}
	b.Shelf = New(b, filepath.Join(t.TempDir(), "takes"))
	return b
}

// anew is the shelf at the next start.
func (b *bench) anew() *Shelf { return New(b, b.folder) }

// wrote waits until what is being written is written.
func (b *bench) wrote(t *testing.T) {
	t.Helper()
	for strings.HasPrefix(b.message, "Writing ") {
		select {
		case f := <-b.posted:
			f()
		case <-time.After(time.Minute):
			t.Fatal("nothing more happened")
		}
	}
}

// made puts a recording that was made elsewhere into a folder of its own.
func made(t *testing.T, name string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	require.NoError(t, os.WriteFile(path, assets.DemoTake, 0o600))
	return path
}

// opened shows what is heard in a recording made elsewhere: the demo take.
func (b *bench) opened(t *testing.T, path string) {
	t.Helper()
	take := b.Known(path)
	if take == nil {
		take = (&Take{Made: b.Now(), Piece: b.score.File, Title: b.score.Title()}).Opened(path)
	}
	b.Show(demoShown(t, take))
}

var demo struct {
	sync.Once
	heard   *dsp.Heard
	hearing *finding.Hearing
}

// demoShown is what is heard in the demo take, as heard in another.
func demoShown(t *testing.T, take *Take) *Shown {
	t.Helper()
	demo.Do(func() {
		p, err := notation.Read(assets.DemoPieceName, assets.DemoPiece)
		require.NoError(t, err)
		r, err := recording.Decode("demo", bytes.NewReader(assets.DemoTake))
		require.NoError(t, err)
		demo.heard, err = dsp.Listen(r, dsp.Bass)
		require.NoError(t, err)
		demo.hearing, err = finding.Judge(p, demo.heard, finding.Options{A4: 440, Level: finding.Intermediate, Intonation: finding.Equal})
		require.NoError(t, err)
	})
	return &Shown{Take: take, Hearing: demo.hearing, Heard: demo.heard}
}

// samples are all that a recording holds.
func samples(t *testing.T, r *recording.Recording) (all []float32) {
	t.Helper()
	for buf := make([]float32, 8192); ; {
		n, err := r.Read(buf)
		if all = append(all, buf[:n]...); err != nil {
			require.ErrorIs(t, err, io.EOF)
			return all
		}
	}
}
