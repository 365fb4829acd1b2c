package main

import (
	"encoding/json"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"github.com/spf13/pflag"
)

// keeps says that no file asked for would take the place of one that is read.
func keeps(f *pflag.FlagSet, read ...string) error {
	for _, option := range []string{"report", "json"} {
		out := text(f, option)
		if out == "" || out == "-" {
			continue
		}
		for _, in := range read {
			a, errA := os.Stat(out)
			b, errB := os.Stat(in)
			if errA == nil && errB == nil && os.SameFile(a, b) {
				return fmt.Errorf("--%s %s: would write over what is to be read: give it another name", option, out)
			}
		}
	}
	return nil
}

// writeFile writes a whole file or none: what stood there before is kept until
// the new one is complete. Only its owner may read it.
func writeFile(path string, write func(io.Writer) error) error {
	if err := replace(path, write); err != nil {
		return fmt.Errorf("%s: cannot be written: %w", path, cause(err))
	}
	return nil
}

func replace(path string, write func(io.Writer) error) error {
	if info, err := os.Stat(path); err == nil && !info.Mode().IsRegular() {
		return fillIn(path, write)
	}
	tmp, err := os.CreateTemp(filepath.Dir(path), ".endpin-*")
	if err != nil {
		return err
	}
	defer os.Remove(tmp.Name())
	err = write(tmp)
	if e := tmp.Close(); err == nil {
		err = e
	}
	if err == nil {
		err = os.Rename(tmp.Name(), path)
	}
	return err
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

func writeJSON(w io.Writer, v any) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", " ")
	return e.Encode(v)
}
