//go:build !windows

package recording

import "os/exec"

// unseen has something to do on Windows alone.
func unseen(c *exec.Cmd) *exec.Cmd { return c }
