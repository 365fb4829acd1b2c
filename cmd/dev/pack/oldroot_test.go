package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestALinkToARootsOwnFileStaysInsideIt(t *testing.T) {
	root := t.TempDir()
	lib := filepath.Join(root, "usr/lib/machine")
	require.NoError(t, os.MkdirAll(lib, 0o755))
	require.NoError(t, os.MkdirAll(filepath.Join(root, "opt"), 0o755))
	require.NoError(t, os.WriteFile(filepath.Join(root, "opt/libbow.so.1"), []byte("bow"), 0o644))
	require.NoError(t, os.Symlink("/opt/libbow.so.1", filepath.Join(lib, "libbow.so")))
	require.NoError(t, within(root))
	to, err := os.Readlink(filepath.Join(lib, "libbow.so"))
	require.NoError(t, err)
	assert.Equal(t, "../../../opt/libbow.so.1", to)
	content, err := os.ReadFile(filepath.Join(lib, "libbow.so"))
	require.NoError(t, err)
	assert.Equal(t, "bow", string(content))
}
