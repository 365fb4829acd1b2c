package desk

import (
	"context"
	"io"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp"
	"endpin/dsp/recording"
	"endpin/piece/finding"
	"endpin/ui/desk/score"
	"endpin/ui/desk/shelf"
	"endpin/ui/desk/tape"
	"endpin/ui/desk/work"
)

// smallDisk is a disk with room for so many bytes of a take, as the system tells it.
type smallDisk struct {
	room atomic.Int64
}

func (s *smallDisk) create(path string) (tape.File, error) {
	file, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE|os.O_EXCL, 0o600)
	return &onSmallDisk{file, s}, err
}

type onSmallDisk struct {
	*os.File
	disk *smallDisk
}

func (f *onSmallDisk) WriteAt(p []byte, at int64) (int, error) {
	if left := f.disk.room.Load() - at; int64(len(p)) > left {
		n, _ := f.File.WriteAt(p[:max(0, left)], at) // as much of it as there is room for
		return n, &os.PathError{Op: "write", Path: f.Name(), Err: syscall.ENOSPC}
	}
	return f.File.WriteAt(p, at)
}

// newFull sets out a desk that hears so many seconds of the demo take, at its 22 050 Hz, and
// whose disk has room for some of them.
func newFull(t *testing.T, plays, seconds float64) (*bench, *smallDisk) {
	t.Helper()
	b, disk := newBenchOf(t, plays), &smallDisk{}
	disk.room.Store(int64(2 * seconds * 22050))
	b.means.create = disk.create
	b.means.HearSound = func(_ context.Context, s *score.Score, name string, wav io.Reader, o finding.Options, _ func(float64)) (*finding.Hearing, *dsp.Heard, error) {
		r, err := recording.Decode(name, wav)
		if err != nil {
			return nil, nil, err
		}
		defer r.Close()
		heard, err := dsp.Listen(r, dsp.Bass)
		if err != nil {
			return nil, nil, err
		}
		h, err := finding.Judge(s.Piece, heard, o)
		return h, heard, err
	}
	return b, disk
}

func length(t *testing.T, path string) float64 {
	t.Helper()
	r, err := recording.Open(path)
	require.NoError(t, err)
	defer r.Close()
	buf, all := make([]float32, 1<<15), 0
	for err == nil {
		var n int
		n, err = r.Read(buf)
		all += n
	}
	require.ErrorIs(t, err, io.EOF)
	return float64(all) / float64(r.Rate())
}

func TestADiskThatIsFullInATakeIsToldAtOnceAndAllIsJudged(t *testing.T) {
	b, _ := newFull(t, whole, 11.8)
	b.SetWay(work.PlayAlone)
	b.Start()
	told := -1.0
	b.pump(t, func() bool {
		if told < 0 && b.Running && strings.HasPrefix(b.Message, "The disk") {
			told = b.Live.Time
			assert.Equal(t, "The disk is full: no more can be written in "+filepath.Join(b.folder, "takes")+". The take goes on in memory, and is written once there is room.", b.Message)
		}
		return b.Shown != nil
	})
	assert.InDelta(t, 11.8, told, 1, "s of the take")
	assert.Equal(t, mistakes, kinds(b.Shown.Hearing.Findings), "what lies in memory is judged as what was written")
	assert.Contains(t, b.Message, "Save the sound in another folder")

	cut := b.Shown.Take.Sound
	assert.InDelta(t, 11.8, length(t, cut), 0.1)
	elsewhere := filepath.Join(t.TempDir(), "take.wav")
	b.WriteSound(elsewhere)
	b.pump(t, func() bool { return b.Message == "Kept as "+elsewhere+"." })
	assert.InDelta(t, b.Shown.Hearing.Duration, length(t, elsewhere), 0.01)
	assert.NoFileExists(t, cut, "its beginning makes room")
	again := shelf.Read(filepath.Join(b.folder, "takes"))
	require.Len(t, again, 1)
	assert.Equal(t, elsewhere, again[0].Sound, "it is listed from there")
}

func TestWhereThereIsRoomAgainTheTakeIsWrittenAfterAll(t *testing.T) {
	b, disk := newFull(t, whole, 11.8)
	b.SetWay(work.PlayAlone)
	b.Start()
	var said []string
	b.pump(t, func() bool {
		if n := len(said); b.Running && b.Message != "" && (n == 0 || said[n-1] != b.Message) {
			if said = append(said, b.Message); len(said) == 2 {
				disk.room.Store(1 << 40)
			}
		}
		return b.Shown != nil
	})
	require.Len(t, said, 3, "what plays, that no more can be written, and that it is again: %q", said)
	assert.Equal(t, "There is room again: the take is written.", said[2])
	assert.Equal(t, mistakes, kinds(b.Shown.Hearing.Findings))
	assert.Nil(t, b.Shown.Take.Held)
	assert.InDelta(t, b.Shown.Hearing.Duration, length(t, b.Shown.Take.Sound), 0.01)
}

func TestATakeHeldIsWrittenBeforeTheNextBegins(t *testing.T) {
	b, _ := newFull(t, 9, 5)
	b.SetWay(work.PlayAlone)
	b.Start()
	b.pump(t, func() bool { return b.Shown != nil })
	take := b.Shown.Take
	require.NotNil(t, take.Held)
	b.Start() // its file lies on the real disk by now, which has room
	assert.Nil(t, take.Held)
	assert.InDelta(t, b.Shown.Hearing.Duration, length(t, take.Sound), 0.01)
	b.Stop()
	b.pump(t, func() bool { return !b.Running && !b.Judging })
}

func TestADiskThatIsNearlyFullIsToldBeforeATake(t *testing.T) {
	for room, says := range map[int64]string{
		0:        "The disk is full where takes are kept",
		3 << 20:  "room for one minute",
		60 << 20: "room for 23 minutes",
		1 << 30:  "",
	} {
		b := newBench(t)
		b.means.Free = func(string) (int64, bool) { return room, true }
		b.SetWay(work.PlayAlone)
		b.Start()
		if says == "" {
			assert.NotContains(t, b.Message, "disk")
		} else {
			assert.Contains(t, b.Message, says)
		}
		b.Stop()
		b.pump(t, func() bool { return !b.Running && !b.Judging })
	}
}
