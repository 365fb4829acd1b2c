package shelf

import (
	"os"
	"path/filepath"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp/recording"
	"endpin/ui/desk/tape"
)

// full is a file on a disk that takes 20 000 bytes and no more.
type full struct{ *os.File }

func (f full) WriteAt(p []byte, at int64) (int, error) {
	if at+int64(len(p)) > 20_000 {
		return 0, syscall.ENOSPC
	}
	return f.File.WriteAt(p, at)
}

// held is a take of three seconds at 8 kHz of which a full disk took one.
func held(t *testing.T, b *bench) *Take {
	t.Helper()
	take := &Take{Made: b.Now(), Piece: b.score.File, Title: b.score.Title()}
	require.NoError(t, os.MkdirAll(b.folder, 0o700))
	take.Place(b.folder)
	r, err := tape.New(func(path string) (tape.File, error) {
		f, err := os.Create(path)
		return full{f}, err
	}, take.Sound, 8000)
	require.NoError(t, err)
	for range 3 {
		r.Write(make([]float32, 8000))
	}
	require.ErrorIs(t, r.Close(), syscall.ENOSPC)
	take.Held = r.Held()
	b.Takes = []*Take{take}
	b.Show(demoShown(t, take))
	return take
}

func (b *bench) holds(t *testing.T, path string) int {
	t.Helper()
	r, err := recording.Open(path)
	require.NoError(t, err)
	defer r.Close()
	return len(samples(t, r))
}

func TestATakeHeldThatIsKeptElsewhereIsListedFromThere(t *testing.T) {
	b := newBench(t)
	take := held(t, b)
	require.Equal(t, 8000, b.holds(t, take.Sound))
	cut, path := take.Sound, filepath.Join(t.TempDir(), "take.wav")
	b.WriteSound(path)
	b.wrote(t)
	assert.Equal(t, "Kept as "+path+".", b.message)
	assert.Equal(t, 3*8000, b.holds(t, path), "nothing is lost")
	assert.NoFileExists(t, cut, "its beginning makes room")
	assert.Equal(t, []*Take{take}, b.remembered)
	again := b.anew()
	require.Len(t, again.Takes, 1)
	assert.Equal(t, path, again.Takes[0].Sound)
	assert.True(t, again.Takes[0].Elsewhere())
}

func TestATakeHeldIsWrittenOnceThereIsRoom(t *testing.T) {
	b := newBench(t)
	take := held(t, b)
	b.WriteHeld() // its file lies on the real disk by now, which has room
	assert.Nil(t, take.Held)
	assert.Equal(t, 3*8000, b.holds(t, take.Sound))
	assert.Equal(t, []*Take{take}, b.remembered)
}
