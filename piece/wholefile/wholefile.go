// Package wholefile replaces a file whole or not at all, and tells what a program left
// half made that was cut off from what another is at.
package wholefile

import (
	"bytes"
	"crypto/rand"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
)

// half is how a file that is being made is called, before the run that makes it.
const half = ".endpin-"

// Replace has a file written beside the one it is to be, and puts it in its place
// when it is complete and on the disk: what stood there before is lost to no failure.
// Only its owner may read it. The folder must be there; what a program left half made
// in it goes away.
func Replace(path string, write func(*os.File) error) error {
	folder := filepath.Dir(path)
	tidy(folder)
	part, err := os.CreateTemp(folder, half+Run+"-*")
	if err != nil {
		return err
	}
	defer os.Remove(part.Name())
	if err = write(part); err == nil {
		err = part.Sync()
	}
	if e := part.Close(); err == nil {
		err = e
	}
	if err != nil {
		return err
	}
	return os.Rename(part.Name(), path)
}

func tidy(folder string) {
	files, _ := os.ReadDir(folder) // what cannot be listed cannot be tidied
	for _, f := range files {
		if by, left := strings.CutPrefix(f.Name(), half); left && !AtWork(by) {
			os.Remove(filepath.Join(folder, f.Name()))
		}
	}
}

// Run is this run of the program: its number alone comes again.
var Run = fmt.Sprintf("%d-%s", os.Getpid(), rand.Text())

// AtWork reports whether the run of the program still goes on whose Run begins a text.
func AtWork(by string) bool {
	number, _, _ := strings.Cut(by, "-")
	pid, err := strconv.Atoi(number)
	if err != nil || pid <= 0 || pid == os.Getpid() {
		return strings.HasPrefix(by, Run)
	}
	p, err := os.FindProcess(pid)
	if err != nil {
		return false
	}
	defer p.Release()
	return !errors.Is(p.Signal(syscall.Signal(0)), os.ErrProcessDone)
}

// Write writes a small file by Replace, and makes the folder for it.
func Write(path string, data []byte) error {
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return err
	}
	return Replace(path, func(to *os.File) error {
		_, err := to.Write(data)
		return err
	})
}

// Named is the first name of a file that may be had: its own, or with a number behind it,
// from 2.
func Named(path string, may func(path string) bool) string {
	end := filepath.Ext(path)
	name := path
	for n := 2; !may(name); n++ {
		name = strings.TrimSuffix(path, end) + " " + strconv.Itoa(n) + end
	}
	return name
}

// Free is the first of a file's names that nothing has yet.
func Free(path string) string {
	return Named(path, func(p string) bool {
		_, err := os.Lstat(p)
		return err != nil
	})
}

// WriteBeside writes a file, with a number behind its name where another has it. What stands
// there with the same in it is that file. It says where.
func WriteBeside(path string, data []byte) (string, error) {
	var stands bool
	path = Named(path, func(p string) bool {
		is, err := os.ReadFile(p)
		stands = err == nil && bytes.Equal(is, data)
		_, none := os.Lstat(p)
		return stands || none != nil
	})
	if stands {
		return path, nil
	}
	return path, Write(path, data)
}
