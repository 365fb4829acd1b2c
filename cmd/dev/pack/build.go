package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
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
	kept string    // a folder for what other programs' sources give, kept from run to run
	from time.Time // when that state was committed: the date of every file in a package
	rev  string    // its name, twelve digits, and "+changed" where files differ from it
	tag  string    // the tag it bears, without its v; "" for none

	remark func(format string, args ...any) // says what whoever hands a package on should know
}

func newBuilder(out string) (b builder, err error) {
	if b.out, err = filepath.Abs(out); err != nil {
		return b, err
	}
	if b.root, err = said("go", "list", "-m", "-f", "{{.Dir}}"); err != nil {
		return b, err
	}
	if b.root == "" {
		return b, fmt.Errorf("run it inside Endpin's repository")
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
	changed, err := said("git", "-C", b.root, "status", "--porcelain", "--untracked-files=no")
	if err != nil {
		return b, err
	}
	if changed != "" {
		b.rev, b.tag = b.rev+"+changed", ""
	}
	cache, err := os.UserCacheDir()
	if err != nil {
		return b, err
	}
	b.kept = filepath.Join(cache, "endpin-package")
	if err := os.MkdirAll(b.kept, 0o755); err != nil {
		return b, err
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
	return "0~" + b.day("20060102") + "." + b.rev
}

func (b builder) day(layout string) string { return b.from.Format(layout) }

// target is what programs are built for.
type target struct {
	env   []string
	flags []string
	link  string // for Go's linker
}

// build makes a program, the same to the byte for the same state and compilers. What the
// program says of its version is set here, since Go finds no repository in some checkouts.
func (b builder) build(program, to string, t target) error {
	state := strings.TrimSpace(b.tag + " " + b.rev + " " + b.day("2006-01-02"))
	args := append([]string{"go", "build", "-trimpath", "-buildvcs=false"}, t.flags...)
	args = append(args, "-ldflags=-s -w -buildid= -X 'endpin/cmd/job.built="+state+"' "+t.link, "-o", to, "./cmd/"+program)
	return b.do(b.root, t.env, args...)
}

// copied copies the source, for what a build wants beside it that is no part of it.
func (b builder) copied() (string, error) {
	names, err := said("git", "-C", b.root, "ls-files", "-z")
	if err != nil {
		return "", err
	}
	to := filepath.Join(b.work, "source")
	for _, name := range strings.Split(strings.Trim(names, "\x00"), "\x00") {
		content, err := os.ReadFile(filepath.Join(b.root, name))
		if errors.Is(err, fs.ErrNotExist) {
			continue // removed, and not committed yet
		}
		if err != nil {
			return "", err
		}
		if err := os.MkdirAll(filepath.Dir(filepath.Join(to, name)), 0o755); err != nil {
			return "", err
		}
		if err := os.WriteFile(filepath.Join(to, name), content, 0o644); err != nil {
			return "", err
		}
	}
	return to, nil
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

// keep gives a folder that make fills once and that later runs find again.
func (b builder) keep(name string, make func(dir string) error) (string, error) {
	dir := filepath.Join(b.kept, name)
	if _, err := os.Stat(filepath.Join(dir, "done")); err == nil {
		return dir, nil
	}
	if err := os.RemoveAll(dir); err != nil {
		return "", err
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return "", err
	}
	if err := make(dir); err != nil {
		return "", err
	}
	return dir, os.WriteFile(filepath.Join(dir, "done"), nil, 0o644)
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
