package wholefile

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestAFileIsReplacedWholeOrNotAtAll(t *testing.T) {
	folder := t.TempDir()
	path := filepath.Join(folder, "page.html")
	said := func(words string, err error) func(*os.File) error {
		return func(f *os.File) error {
			_, e := f.WriteString(words)
			return errors.Join(e, err)
		}
	}
	stands := func(words string) {
		t.Helper()
		data, err := os.ReadFile(path)
		require.NoError(t, err)
		assert.Equal(t, words, string(data))
		files, err := os.ReadDir(folder)
		require.NoError(t, err)
		assert.Len(t, files, 1, "nothing is left beside it")
	}
	require.NoError(t, Replace(path, said("first", nil)))
	stands("first")
	full := errors.New("the disk is full")
	assert.ErrorIs(t, Replace(path, said("sec", full)), full)
	stands("first")
	require.NoError(t, Replace(path, said("second", nil)))
	stands("second")
	path, folder = filepath.Join(folder, "none", "page.html"), filepath.Join(folder, "none")
	assert.ErrorIs(t, Replace(path, said("", nil)), os.ErrNotExist)
	require.NoError(t, Write(path, []byte("third")), "which makes the folder")
	stands("third")
}

func TestWhatAProgramLeftThatWasCutOffGoesAwayAndWhatAnotherIsAtStays(t *testing.T) {
	folder := t.TempDir()
	another := exec.Command("sleep", "60")
	if err := another.Start(); err != nil {
		t.Skip("there is no sleep: ", err)
	}
	t.Cleanup(func() { another.Process.Kill(); another.Wait() })
	cut := []string{".endpin-123456789", ".endpin-4194399-ABC-1", fmt.Sprintf(".endpin-%d-ABC-1", os.Getpid())}
	going := []string{fmt.Sprintf(".endpin-%d-ABC-1", another.Process.Pid), ".endpin-" + Run + "-1", "mine.txt"}
	for _, name := range append(cut, going...) {
		require.NoError(t, os.WriteFile(filepath.Join(folder, name), nil, 0o600))
	}
	require.NoError(t, Replace(filepath.Join(folder, "page.html"), func(*os.File) error { return nil }))
	for _, name := range cut {
		assert.NoFileExists(t, filepath.Join(folder, name))
	}
	for _, name := range going {
		assert.FileExists(t, filepath.Join(folder, name))
	}
}

func TestTheSameAgainIsTheSameFileAndWhatAnotherPutThereStays(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "new")
	at := func(text string) string {
		path, err := WriteBeside(filepath.Join(folder, "Scale.txt"), []byte(text))
		require.NoError(t, err)
		return filepath.Base(path)
	}
	assert.Equal(t, "Scale.txt", at("one octave"))
	assert.Equal(t, "Scale 2.txt", at("two"))
	assert.Equal(t, "Scale.txt", at("one octave"))
	is, err := os.ReadFile(filepath.Join(folder, "Scale.txt"))
	require.NoError(t, err)
	assert.Equal(t, "one octave", string(is))
}
