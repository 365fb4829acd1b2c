//go:build unix

package main

import (
	"errors"
	"io"
	"os"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Ctrl-C reaches this program and what it started at once.
func TestADemoThatIsInterruptedLeavesNothingBehind(t *testing.T) {
	folder := t.TempDir()
	t.Setenv("TMPDIR", folder)
	h := host{out: io.Discard, execute: func(step, io.Writer) error {
		left, err := os.ReadDir(folder)
		require.NoError(t, err)
		require.Len(t, left, 1)
		require.NoError(t, syscall.Kill(os.Getpid(), syscall.SIGINT))
		time.Sleep(50 * time.Millisecond)
		return errors.New("signal: interrupt")
	}}
	assert.ErrorContains(t, runDemo(h, "."), "interrupt")
	left, err := os.ReadDir(folder)
	require.NoError(t, err)
	assert.Empty(t, left)
}
