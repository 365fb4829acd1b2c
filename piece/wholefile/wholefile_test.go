package wholefile

import (
	"errors"
	"os"
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
	assert.ErrorIs(t, Replace(filepath.Join(folder, "none", "page.html"), said("", nil)), os.ErrNotExist)
}
