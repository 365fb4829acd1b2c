package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"time"
)

// builder builds Endpin's programs out of one state of the source.
type builder struct {
	root string    // the repository
	out  string    // where packages go
	work string    // a folder for what is between
	from time.Time // when that state was committed: the date of every file in a package
	rev  string    // its name, twelve digits
	tag  string    // the tag it bears, without its v; "" for none
}

func newBuilder(out string) (b builder, err error) {
	if b.out, err = filepath.Abs(out); err != nil {
		return b, err
	}
	if b.root, err = said("go", "list", "-m", "-f", "{{.Dir}}"); err != nil {
		return b, err
	}
	seconds, err := said("git", "-C", b.root, "log", "-1", "--format=%ct")
	if err != nil {
		return b, fmt.Errorf("the version comes from the repository's commit: %w", err)
	}
	n, err := strconv.ParseInt(seconds, 10, 64)
	if err != nil {
		return b, err
	}
	b.from = time.Unix(n, 0).UTC()
	if b.rev, err = said("git", "-C", b.root, "rev-parse", "--short=12", "HEAD"); err != nil {
		return b, err
	}
	if tag, err := said("git", "-C", b.root, "describe", "--tags", "--exact-match"); err == nil {
		b.tag = strings.TrimPrefix(tag, "v")
	}
	b.work, err = os.MkdirTemp("", "endpin-pack-")
	return b, err
}

func (b builder) done() { os.RemoveAll(b.work) }

// version is the package's: the tag, or the day and the commit, which sorts by time
// and before any tag.
func (b builder) version() string {
	if b.tag != "" {
		return b.tag
	}
	return "0~" + b.from.Format("20060102") + "." + b.rev
}

// build makes a program, the same to the byte for the same state and compilers.
func (b builder) build(program, to string, env ...string) error {
	return b.do(b.root, env, "go", "build", "-trimpath", "-buildmode=pie", "-buildvcs=true", "-ldflags=-s -w -buildid=", "-o", to, "./cmd/"+program)
}

// do runs a command whose output is only of interest where it fails.
func (b builder) do(dir string, env []string, args ...string) error {
	c := exec.Command(args[0], args[1:]...)
	c.Dir = dir
	c.Env = append(append(os.Environ(), "SOURCE_DATE_EPOCH="+strconv.FormatInt(b.from.Unix(), 10)), env...)
	if out, err := c.CombinedOutput(); err != nil {
		return fmt.Errorf("%s: %w\n%s", strings.Join(args, " "), err, bytes.TrimSpace(out))
	}
	return nil
}

// said is what a command prints, without the last line's end.
func said(args ...string) (string, error) {
	c := exec.Command(args[0], args[1:]...)
	var trouble bytes.Buffer
	c.Stderr = &trouble
	out, err := c.Output()
	if err != nil {
		return "", fmt.Errorf("%s: %w %s", strings.Join(args, " "), err, bytes.TrimSpace(trouble.Bytes()))
	}
	return strings.TrimSpace(string(out)), nil
}

func onPath(program string) bool {
	_, err := exec.LookPath(program)
	return err == nil
}
