package desk

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/assets"
	"endpin/ui/desk/work"
)

// made puts a recording that was made elsewhere into a folder of its own.
func made(t *testing.T, name string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	require.NoError(t, os.WriteFile(path, assets.DemoTake, 0o600))
	return path
}

func (b *bench) opened(t *testing.T, path string) {
	t.Helper()
	b.Open(path)
	b.pump(t, func() bool { return !b.Judging })
}

func TestWhatCannotBeHeardIsNoTake(t *testing.T) {
	b := newBench(t)
	b.opened(t, "nowhere/take.m4a")
	assert.Empty(t, b.Takes)
	assert.Regexp(t, `nowhere/take.m4a: there is no such file: look at the name\.$`, b.Message)
	path := filepath.Join(t.TempDir(), "notes.wav")
	require.NoError(t, os.WriteFile(path, []byte("Practise measure 6 slowly.\n"), 0o600))
	b.opened(t, path)
	assert.Empty(t, b.Takes)
	assert.Contains(t, b.Message, path+": is a text file, not a recording")
}

func TestOneThingAtATime(t *testing.T) {
	b := newBench(t)
	b.Open(made(t, "a.flac"))
	b.Open(made(t, "b.flac"))
	assert.Equal(t, "One take at a time: wait until this one is heard, or cancel it, then open the recording.", b.Message)
	b.Cancel()
	b.pump(t, func() bool { return !b.Judging })
	assert.Empty(t, b.Takes)
}

func TestATakeThatIsRemovedIsGoneWithItsNotes(t *testing.T) {
	b := newBench(t)
	b.SetWay(work.PlayAlone)
	b.Start()
	b.pump(t, func() bool { return b.Shown != nil })
	take := b.Takes[0]
	b.LookCloser(4)
	require.NotNil(t, b.Closer())
	b.Remove(take)
	assert.Empty(t, b.Takes)
	assert.Nil(t, b.Shown)
	assert.Nil(t, b.Closer())
	left, err := os.ReadDir(filepath.Join(b.folder, "takes"))
	require.NoError(t, err)
	assert.Empty(t, left)
}
