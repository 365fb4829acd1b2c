package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// traced runs the program under strace, which does something to its calls.
func traced(t *testing.T, inject string, args ...string) (said string, state *os.ProcessState) {
	t.Helper()
	if err := exec.Command("strace", "-o", os.DevNull, "true").Run(); err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("strace cannot be run: ", err)
		}
		t.Skip("strace cannot be run: ", err)
	}
	name, _, _ := strings.Cut(inject, ":")
	c := exec.Command("strace", append([]string{"-f", "-o", os.DevNull, "-e", "trace=" + name, "-e", "inject=" + inject, "endpin"}, args...)...)
	c.Env = append(os.Environ(), "GOMAXPROCS=1")
	out, _ := c.CombinedOutput()
	require.NotNil(t, c.ProcessState)
	return string(out), c.ProcessState
}

// classOf is a folder of recordings, which are as short as can be heard.
func classOf(t *testing.T, names ...string) (piece, in string) {
	t.Helper()
	piece, _ = demoFiles(t)
	in = t.TempDir()
	for i, name := range names {
		require.NoError(t, os.WriteFile(filepath.Join(in, name+".wav"), wav(t, tone(float64(1+i))), 0o600))
	}
	return piece, in
}

// written is what lies in a folder, by its name.
func written(t *testing.T, folder string) map[string]string {
	t.Helper()
	files := map[string]string{}
	require.NoError(t, filepath.WalkDir(folder, func(path string, e os.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		data, err := os.ReadFile(path)
		name, _ := filepath.Rel(folder, path)
		files[name] = string(data)
		return err
	}))
	return files
}

// Wherever a class is killed, the next run leaves what an undisturbed one does, and
// nothing half made of the children's sound.
func TestAClassThatIsKilledIsWholeAfterTheNextRun(t *testing.T) {
	slow(t)
	piece, in := classOf(t, "Anna", "Ben", "Cleo")
	_, take := demoFiles(t)
	sound, err := os.ReadFile(take)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(in, "Dora.flac"), sound, 0o600))
	whole := filepath.Join(t.TempDir(), "out")
	process(t, "class", piece, in, "--out", whole)
	want := written(t, whole)
	require.Contains(t, want, "class.html")
	killed := 0
	for _, call := range []string{"fsync", "renameat"} {
		for nth := 1; nth <= 4; nth++ {
			out := filepath.Join(t.TempDir(), "out")
			_, state := traced(t, fmt.Sprintf("%s:signal=KILL:when=%d", call, nth), "class", piece, in, "--out", out)
			if state.Sys().(syscall.WaitStatus).Signal() == syscall.SIGKILL {
				killed++
			}
			process(t, "class", piece, in, "--out", out)
			assert.Equal(t, want, written(t, out), "killed at %s %d", call, nth)
		}
	}
	assert.GreaterOrEqual(t, killed, 4, "it was killed")
}

func TestAClassOnAFullDiskSaysSoAndLeavesWhatStood(t *testing.T) {
	piece, in := classOf(t, "Anna", "Ben")
	_, take := demoFiles(t)
	sound, err := os.ReadFile(take)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(in, "Dora.flac"), sound, 0o600))
	out := filepath.Join(t.TempDir(), "out")
	process(t, "class", piece, in, "--out", out)
	before := written(t, out)
	said, state := traced(t, "fsync:error=ENOSPC:when=1+", "class", piece, in, "--out", out, "--no-sound")
	assert.Equal(t, unusable, state.ExitCode(), said)
	assert.Regexp(t, oneLine, said)
	assert.Contains(t, said, "cannot be written: no space left on device")
	for name, was := range before {
		if filepath.Dir(name) == "." {
			assert.Equal(t, was, written(t, out)[name], name)
		}
	}
}
