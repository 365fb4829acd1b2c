package recording

import (
	"os/exec"
	"syscall"
)

// unseen keeps a program of the terminal from opening a window of its own where the desk starts it.
func unseen(c *exec.Cmd) *exec.Cmd {
	const noWindow = 0x08000000 // CREATE_NO_WINDOW (Microsoft, Process Creation Flags)
	c.SysProcAttr = &syscall.SysProcAttr{CreationFlags: noWindow}
	return c
}
