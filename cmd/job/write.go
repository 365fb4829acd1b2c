package job

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"syscall"

	"endpin/piece/outside"
	"endpin/piece/wholefile"
	"endpin/piece/words"
)

// WriteFile writes a whole file or none: what stood there before is kept until
// the new one is complete. Only its owner may read it.
func WriteFile(path string, write func(io.Writer) error) error {
	if err := replace(path, write); err != nil {
		if _, e := os.Stat(filepath.Dir(path)); errors.Is(e, fs.ErrNotExist) {
			return words.Fault("job.cannot-be-written.folder", "file", path, "folder", filepath.Dir(path))
		}
		return words.Fault("job.cannot-be-written", "file", path, "err", Cause(err))
	}
	return nil
}

func replace(path string, write func(io.Writer) error) error {
	if info, err := os.Stat(path); err == nil && !info.Mode().IsRegular() {
		return fillIn(path, write)
	}
	return wholefile.Replace(path, func(to *os.File) error { return write(to) })
}

// fillIn writes into what is no plain file, such as a pipe or /dev/null, and
// must stay what it is. A folder refuses.
func fillIn(path string, write func(io.Writer) error) error {
	file, err := os.OpenFile(path, os.O_WRONLY, 0)
	if err != nil {
		return err
	}
	err = write(file)
	if e := file.Close(); err == nil {
		err = e
	}
	return err
}

// WriteJSON writes a value as indented JSON, its text as it is.
func WriteJSON(w io.Writer, v any) error {
	var text bytes.Buffer
	e := json.NewEncoder(&text)
	e.SetEscapeHTML(false)
	e.SetIndent("", " ")
	if err := e.Encode(v); err != nil {
		return err
	}
	_, err := w.Write(outside.JSON(text.Bytes()))
	return err
}

// Cause is what went wrong with a file in the user's words, without the path,
// which the caller names.
func Cause(err error) error {
	switch {
	case errors.Is(err, fs.ErrNotExist), errors.Is(err, syscall.ENOTDIR): // a file stands where a folder is named
		return words.Fault("job.cause.absent", "err", err)
	case errors.Is(err, fs.ErrPermission):
		return words.Fault("job.cause.forbidden", "err", err)
	}
	var p *fs.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	var l *os.LinkError
	if errors.As(err, &l) {
		return l.Err
	}
	return err
}

// OfFile says of a file what is wrong with it.
func OfFile(file string, reason any) error {
	return words.Fault("job.file", "file", file, "reason", reason)
}
