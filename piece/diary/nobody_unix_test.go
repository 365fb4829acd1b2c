//go:build unix

package diary

import (
	"os"
	"os/exec"
	"path/filepath"
	"syscall"
	"testing"

	"github.com/stretchr/testify/require"
)

// asNobody runs the test that asks for it once more, as a user who may write only
// where it is allowed to.
func asNobody(t *testing.T) {
	t.Helper()
	const nobody = 65534
	self, err := os.Executable()
	require.NoError(t, err)
	dir, err := os.MkdirTemp("", "nobody")
	require.NoError(t, err)
	t.Cleanup(func() { os.RemoveAll(dir) })
	program := filepath.Join(dir, "test")
	data, err := os.ReadFile(self) // where it lies itself, root alone may go
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(program, data, 0o700))
	for _, path := range []string{dir, program} {
		require.NoError(t, os.Chown(path, nobody, nobody))
	}
	c := exec.Command(program, "-test.run", "^"+t.Name()+"$", "-test.v")
	c.Dir, c.Env = dir, append(os.Environ(), "TMPDIR="+dir, "HOME="+dir)
	c.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: nobody, Gid: nobody}}
	out, err := c.CombinedOutput()
	require.NoError(t, err, "%s", out)
	require.Contains(t, string(out), "--- PASS: "+t.Name())
}
