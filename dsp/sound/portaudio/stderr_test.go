//go:build linux

package portaudio

import "syscall"

// dupStderr lets standard error go elsewhere until the function given back is called.
func dupStderr(fd int) (back func(), err error) {
	kept, err := syscall.Dup(2)
	if err != nil {
		return nil, err
	}
	if err := syscall.Dup3(fd, 2, 0); err != nil {
		return nil, err
	}
	return func() {
		syscall.Dup3(kept, 2, 0)
		syscall.Close(kept)
	}, nil
}
