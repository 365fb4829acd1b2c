package shelf

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// lay puts files into a folder, each with its own name in it.
func lay(t *testing.T, folder string, names ...string) {
	t.Helper()
	require.NoError(t, os.MkdirAll(folder, 0o700))
	for _, n := range names {
		require.NoError(t, os.WriteFile(filepath.Join(folder, n), []byte(n), 0o600))
	}
}

func names(t *testing.T, folder string) (all []string) {
	t.Helper()
	files, err := os.ReadDir(folder)
	if os.IsNotExist(err) {
		return nil
	}
	require.NoError(t, err)
	for _, f := range files {
		all = append(all, f.Name())
	}
	return all
}

func TestTakesOfBeforeAreCarriedOverOnce(t *testing.T) {
	dir := t.TempDir()
	old, now := filepath.Join(dir, "config", "takes"), filepath.Join(dir, "data", "endpin", "takes")
	require.NoError(t, Move(old, now), "there are none")
	assert.NoDirExists(t, now)
	lay(t, old, "1.json", "1.wav", "2 opened.json")
	require.NoError(t, Move(old, now))
	assert.Equal(t, []string{"1.json", "1.wav", "2 opened.json"}, names(t, now))
	assert.NoDirExists(t, old)

	lay(t, old, "3.json", "3.wav") // an older version was used once more
	require.NoError(t, Move(old, now))
	assert.Equal(t, []string{"1.json", "1.wav", "2 opened.json", "3.json", "3.wav"}, names(t, now))
	assert.NoDirExists(t, old)
}

// Killed between two files, or in the copying of one.
func TestACarryingOverThatWasKilledGoesOn(t *testing.T) {
	dir := t.TempDir()
	old, now := filepath.Join(dir, "old"), filepath.Join(dir, "new")
	lay(t, old, "1.wav", "2.json", "2.wav")
	lay(t, now, "1.json")
	require.NoError(t, os.WriteFile(filepath.Join(now, "1.wav.part"), []byte("1."), 0o600))
	require.NoError(t, Move(old, now))
	for _, n := range []string{"1.json", "1.wav", "2.json", "2.wav"} {
		data, err := os.ReadFile(filepath.Join(now, n))
		require.NoError(t, err)
		assert.Equal(t, n, string(data), "whole")
	}
	assert.NoDirExists(t, old)
}

func TestNothingIsWrittenOverAndWhatCannotBeMovedStays(t *testing.T) {
	dir := t.TempDir()
	old, now := filepath.Join(dir, "old"), filepath.Join(dir, "new")
	lay(t, old, "1.wav", "2.wav")
	lay(t, now)
	require.NoError(t, os.WriteFile(filepath.Join(now, "1.wav"), []byte("another"), 0o600))
	err := Move(old, now)
	assert.ErrorContains(t, err, "1.wav: there is one of that name")
	assert.ErrorContains(t, err, "those left are kept")
	assert.Equal(t, []string{"1.wav"}, names(t, old))
	data, err := os.ReadFile(filepath.Join(now, "1.wav"))
	require.NoError(t, err)
	assert.Equal(t, "another", string(data))

	require.NoError(t, os.RemoveAll(now))
	require.NoError(t, os.WriteFile(now, nil, 0o600)) // a file stands where the folder should
	assert.Error(t, Move(old, now))
	assert.Equal(t, []string{"1.wav"}, names(t, old))
}

// Folders on two disks, where there are two: a file cannot be renamed from one to
// the other.
func TestTakesAreCarriedToAnotherDisk(t *testing.T) {
	elsewhere, err := os.MkdirTemp("/dev/shm", "carry")
	if err != nil {
		t.Skip("there is no other disk: no /dev/shm")
	}
	t.Cleanup(func() { os.RemoveAll(elsewhere) })
	old, now := filepath.Join(t.TempDir(), "old"), filepath.Join(elsewhere, "new")
	lay(t, old, "1.json", "1.wav")
	made, err := os.Stat(filepath.Join(old, "1.wav"))
	require.NoError(t, err)
	require.NoError(t, Move(old, now))
	assert.Equal(t, []string{"1.json", "1.wav"}, names(t, now))
	info, err := os.Stat(filepath.Join(now, "1.wav"))
	require.NoError(t, err)
	assert.Equal(t, made.ModTime().Unix(), info.ModTime().Unix())
	assert.NoDirExists(t, old)
}
