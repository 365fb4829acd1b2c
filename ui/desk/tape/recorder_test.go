package tape

import (
	"os"
	"path/filepath"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp/recording"
)

// full is a file on a disk that takes so many bytes and no more.
type full struct {
	*os.File
	room int64
}

func (f *full) WriteAt(p []byte, at int64) (int, error) {
	if at+int64(len(p)) > f.room {
		return 0, syscall.ENOSPC
	}
	return f.File.WriteAt(p, at)
}

const rate = 8000

// samples is how many samples a WAV holds.
func samples(t *testing.T, r *recording.Recording) (n int) {
	t.Helper()
	for buf := make([]float32, 1000); ; {
		k, err := r.Read(buf)
		if n += k; err != nil {
			return n
		}
	}
}

func TestWhatADiskDoesNotTakeIsHeldAndWrittenOnceThereIsRoom(t *testing.T) {
	path := filepath.Join(t.TempDir(), "take.wav")
	r, err := New(func(path string) (File, error) {
		f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE|os.O_EXCL, 0o600)
		return &full{f, recording.WAVHeaderSize + 2*rate}, err
	}, path, rate)
	require.NoError(t, err)
	for range 30 {
		r.Write(make([]float32, rate/10))
	}
	assert.ErrorIs(t, r.Err(), syscall.ENOSPC)
	assert.ErrorIs(t, r.Close(), syscall.ENOSPC)
	held := r.Held()
	require.NotNil(t, held)
	assert.InDelta(t, 2, held.Seconds(), 1e-9, "one second was written")

	wav, err := held.Open()
	require.NoError(t, err)
	whole, err := recording.Decode("take", wav)
	require.NoError(t, err)
	assert.Equal(t, 3*rate, samples(t, whole), "nothing is lost")
	require.NoError(t, wav.Close())

	require.NoError(t, held.LetGo())
	written, err := recording.Open(path)
	require.NoError(t, err)
	defer written.Close()
	assert.Equal(t, 3*rate, samples(t, written))
}

func TestATakeThatWasCutOffIsRepairedToAllThatWasWritten(t *testing.T) {
	path := filepath.Join(t.TempDir(), "take.wav")
	r, err := New(NewFile, path, rate)
	require.NoError(t, err)
	r.Write(make([]float32, rate/2)) // and the program is killed: its header tells of nothing
	seconds, err := Repair(path)
	require.NoError(t, err)
	assert.InDelta(t, 0.5, seconds, 1e-9)
	_, err = New(NewFile, path, rate)
	assert.ErrorIs(t, err, os.ErrExist, "no take is written over another")
}
