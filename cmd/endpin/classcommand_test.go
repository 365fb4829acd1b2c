package main

import (
	"bytes"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/assets"
)

// The program itself is stopped as a teacher stops it, with Ctrl-C.
func TestCtrlCKeepsWhatWasHeardAndASecondRunGoesOnThere(t *testing.T) {
	slow(t)
	if runtime.GOOS == "windows" {
		t.Skip("a process cannot be sent Ctrl-C there")
	}
	piece, _ := demoFiles(t)
	in, out := t.TempDir(), filepath.Join(t.TempDir(), "out")
	const all = 12
	for i := range all {
		require.NoError(t, os.WriteFile(filepath.Join(in, fmt.Sprintf("Student %c.flac", 'A'+i)), assets.DemoTake, 0o600))
	}
	start := func(args ...string) (c *exec.Cmd, errOut *bytes.Buffer) {
		c = exec.Command("endpin", append([]string{"class", piece, in, "--out", out}, args...)...)
		errOut = &bytes.Buffer{}
		c.Stderr = errOut
		require.NoError(t, c.Start())
		return c, errOut
	}
	heard := func() map[string]time.Time {
		at := map[string]time.Time{}
		files, _ := filepath.Glob(filepath.Join(out, "kept", "[0-9a-f]*.json"))
		for _, f := range files {
			if info, err := os.Stat(f); err == nil {
				at[filepath.Base(f)] = info.ModTime()
			}
		}
		return at
	}

	run, errOut := start()
	require.Eventually(t, func() bool { return len(heard()) > 0 }, time.Minute, 5*time.Millisecond)
	require.NoError(t, run.Process.Signal(os.Interrupt))
	_ = run.Wait()
	assert.Equal(t, stoppedByUser, run.ProcessState.ExitCode())
	assert.Regexp(t, oneLine, errOut.String())
	assert.Contains(t, errOut.String(), "give the same command to go on")
	first := heard()
	require.Less(t, len(first), all, "it was stopped before the end")
	csv, err := os.ReadFile(filepath.Join(out, "class.csv"))
	require.NoError(t, err)
	assert.Equal(t, all-len(first), bytes.Count(csv, []byte("not heard yet")))
	sheet, err := os.ReadFile(filepath.Join(out, "class.html"))
	require.NoError(t, err)
	assert.Contains(t, string(sheet), fmt.Sprintf("%d heard, %d not heard yet, as the run was stopped.", len(first), all-len(first)))
	pages, _ := filepath.Glob(filepath.Join(out, "Student *.html"))
	assert.Len(t, pages, len(first), "who was heard has a page already")

	run, errOut = start()
	require.NoError(t, run.Wait(), errOut.String())
	second := heard()
	assert.Len(t, second, all)
	for name, at := range first {
		assert.Equal(t, at, second[name], "not heard again")
	}
	run, errOut = start("--afresh")
	require.NoError(t, run.Wait(), errOut.String())
	for name, at := range heard() {
		assert.True(t, at.After(second[name]), "heard again")
	}

	// Nobody else on this computer reads what children played.
	require.NoError(t, filepath.WalkDir(out, func(path string, e fs.DirEntry, err error) error {
		require.NoError(t, err)
		info, err := e.Info()
		require.NoError(t, err)
		assert.Zero(t, info.Mode().Perm()&0o077, path)
		return nil
	}))
}
