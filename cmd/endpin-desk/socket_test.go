package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Recordings never leave the computer: what would have to carry them is never opened.
func TestNothingOpensASocketThatReachesOutside(t *testing.T) {
	if testing.Short() {
		t.Skip("opens the window")
	}
	r := newRoom(t, "strace")
	// sockets lists those that a program opens and those that it speaks to.
	sockets := func(name string) (options []string, said func() string) {
		log := filepath.Join(r.dir, name+".sockets")
		return []string{"-D", "-f", "--seccomp-bpf", "-o", log, "-e", "trace=socket,connect,bind"}, func() string {
			text, err := os.ReadFile(log)
			require.NoError(t, err)
			return string(text)
		}
	}
	options, said := sockets("hear")
	c := exec.Command("strace", append(options, r.hear, "hear", r.piece, r.take)...)
	out, err := c.CombinedOutput()
	require.NoError(t, err, string(out))
	assert.NotContains(t, said(), "socket(", "endpin opens none at all")

	options, said = sockets("desk")
	running, _, wrong := r.workUnder(t, append(append([]string{"strace"}, options...), r.desk), "--work", "play-along", "--takes", filepath.Join(r.dir, "takes"))
	time.Sleep(3 * time.Second)
	require.NoError(t, running.Process.Kill())
	_ = running.Wait()
	assert.Empty(t, wrong.String())
	require.Contains(t, said(), "AF_UNIX", "the display and the sound of this computer")
	for line := range strings.Lines(said()) {
		assert.NotContains(t, line, "AF_INET")
	}
}
