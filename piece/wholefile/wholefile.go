// Package wholefile replaces a file whole or not at all.
package wholefile

import (
	"os"
	"path/filepath"
)

// Replace has a file written beside the one it is to be, and puts it in its place
// when it is complete: what stood there before is lost to no failure. Only its owner
// may read it. The folder must be there.
func Replace(path string, write func(*os.File) error) error {
	part, err := os.CreateTemp(filepath.Dir(path), ".endpin-*")
	if err != nil {
		return err
	}
	defer os.Remove(part.Name())
	err = write(part)
	if e := part.Close(); err == nil {
		err = e
	}
	if err != nil {
		return err
	}
	return os.Rename(part.Name(), path)
}
