package recording

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestTheFFmpegBesideAProgramIsItsOwn(t *testing.T) {
	folder := t.TempDir()
	program := filepath.Join(folder, "endpin-desk.exe")
	assert.Empty(t, besideProgram(program, "windows"), "none is there")
	require.NoError(t, os.Mkdir(filepath.Join(folder, "ffmpeg"), 0o755))
	assert.Empty(t, besideProgram(program, "linux"), "a folder is no program")
	require.NoError(t, os.WriteFile(filepath.Join(folder, "ffmpeg.exe"), nil, 0o755))
	assert.Equal(t, filepath.Join(folder, "ffmpeg.exe"), besideProgram(program, "windows"))
	assert.Empty(t, besideProgram(program, "linux"))
}
