package shelf

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"endpin/piece/words"
	"endpin/ui/desk/said"
)

// Move moves takes from the folder where they lay to the one where they
// belong, whole or one file after the other. What it is killed in goes on the next
// time: a file is in one of the two at every moment, whole. Nothing is written
// over; what cannot be moved stays, and the error says so.
func Move(from, to string) error {
	files, err := os.ReadDir(from)
	if errors.Is(err, fs.ErrNotExist) || from == to {
		return nil
	}
	stay := func(err error) error {
		return words.Fault("desk.move.left", "from", from, "to", to, "err", said.Bare(err))
	}
	if err != nil {
		return stay(err)
	}
	if err := os.MkdirAll(filepath.Dir(to), 0o700); err != nil {
		return stay(err)
	}
	if _, err := os.Lstat(to); errors.Is(err, fs.ErrNotExist) && os.Rename(from, to) == nil {
		return nil
	}
	if err := os.MkdirAll(to, 0o700); err != nil {
		return stay(err)
	}
	var left error
	for _, f := range files {
		if !f.Type().IsRegular() {
			continue
		}
		if err := moveFile(filepath.Join(from, f.Name()), filepath.Join(to, f.Name())); err != nil && left == nil {
			left = words.Fault("desk.move.file", "file", f.Name(), "err", said.Bare(err))
		}
	}
	if left != nil {
		return stay(left)
	}
	_ = os.Remove(from) // where it is empty now
	return nil
}

// moveFile moves one file. Where the two folders lie on different disks it is copied
// under another name, and takes its own once it is whole on the disk.
func moveFile(from, to string) error {
	if _, err := os.Lstat(to); err == nil {
		return words.Fault("desk.move.taken")
	}
	if os.Rename(from, to) == nil {
		return nil
	}
	part := to + ".part"
	if err := copyFile(from, part); err != nil {
		_ = os.Remove(part)
		return err
	}
	if err := os.Rename(part, to); err != nil {
		return err
	}
	return os.Remove(from)
}

// copyFile copies a file, with the time at which it was made.
func copyFile(from, to string) error {
	in, err := os.Open(from)
	if err != nil {
		return err
	}
	defer in.Close()
	out, err := os.OpenFile(to, os.O_WRONLY|os.O_CREATE|os.O_TRUNC, 0o600)
	if err != nil {
		return err
	}
	_, err = io.Copy(out, in)
	if err == nil {
		err = out.Sync()
	}
	if e := out.Close(); err == nil {
		err = e
	}
	if info, e := in.Stat(); err == nil && e == nil {
		err = os.Chtimes(to, info.ModTime(), info.ModTime())
	}
	return err
}
