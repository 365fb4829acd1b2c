// Command dev sets up what Endpin needs and puts it to work:
//
//	go run ./cmd/dev demo      hear the demo take on the demo piece
//	go run ./cmd/dev test      check everything
//	go run ./cmd/dev measure   make the table of figures
//	go run ./cmd/dev package   make what people install who have no Go
//
// It uses the standard library only, so that it runs where nothing but Go is
// installed. needs.go lists what each job needs and why; nothing is installed
// unasked.
package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

const usage = `usage: go run ./cmd/dev [--yes] [--dry-run] demo | test | measure [OPTIONS] | package [OPTIONS]

  demo      builds endpin, hears the demo take on the demo piece, and writes
            endpin-report.html into the current folder
  test      format, vet, staticcheck, tests, tests with the race detector, and a
            few seconds of each fuzzer
  measure   the figures beside aubio's and Praat's, and with --write their files in
            testdata/figures; its OPTIONS go to cmd/dev/measure (--help lists them)
  package   what people install who have no Go, into the folder packages or that of
            --out, with checksums; what cannot be made here is named

  --yes     install what is missing without asking, as where CI=true
  --dry-run say what would be installed and run, and do neither

What a job needs and this computer lacks is listed, each with its reason, before
anything is installed. Exit status: 0 all is well, 1 something failed, 2 the
command line, or what is missing was not installed.
`

// errUsage and errMissing end with exit status 2.
var (
	errUsage   = errors.New("unusable command line")
	errMissing = errors.New("not installed")
)

// order is what the command line asks for.
type order struct {
	job     job
	yes     bool
	dry     bool
	help    bool
	options []string // for the job's own program
}

func parse(args []string) (o order, err error) {
	for i, arg := range args {
		switch {
		case arg == "--yes" || arg == "-yes" || arg == "-y":
			o.yes = true
		case arg == "--dry-run" || arg == "-dry-run":
			o.dry = true
		case arg == "--help" || arg == "-help" || arg == "-h":
			o.help = true
			return o, nil
		case strings.HasPrefix(arg, "-"):
			return o, fmt.Errorf("%w: there is no option %s", errUsage, arg)
		case arg == "demo" || arg == "test":
			if o.job != "" {
				return o, fmt.Errorf("%w: %s after %s: one job at a time", errUsage, arg, o.job)
			}
			o.job = job(arg)
		case (arg == "measure" || arg == "package") && o.job == "":
			o.job, o.options = job(arg), args[i+1:]
			return o, nil
		default:
			return o, fmt.Errorf("%w: there is no job %q", errUsage, arg)
		}
	}
	if o.job == "" {
		return o, fmt.Errorf("%w: name a job: demo, test, measure or package", errUsage)
	}
	return o, nil
}

func main() {
	err := run(os.Args[1:], thisHost())
	if err == nil {
		return
	}
	fmt.Fprintf(os.Stderr, "dev: %v\n", err)
	if errors.Is(err, errUsage) || errors.Is(err, errMissing) {
		os.Exit(2)
	}
	os.Exit(1)
}

func run(args []string, h host) error {
	o, err := parse(args)
	if err != nil {
		return fmt.Errorf("%w (go run ./cmd/dev --help)", err)
	}
	if o.help {
		fmt.Fprint(h.out, usage)
		return nil
	}
	h.yes = h.yes || o.yes
	h.dry = o.dry
	if err := h.provide(o.job); err != nil {
		return err
	}
	root, err := repository()
	if err != nil {
		return err
	}
	switch o.job {
	case demo:
		return runDemo(h, root)
	case measure, pack:
		program := map[job]string{measure: "./cmd/dev/measure", pack: "./cmd/dev/pack"}[o.job]
		return h.do(step{dir: root, args: append([]string{"go", "run", program}, o.options...)})
	}
	return runTests(h, root)
}

// repository is the folder of Endpin's go.mod.
func repository() (string, error) {
	out, err := exec.Command("go", "list", "-m", "-f", "{{.Path}} {{.Dir}}").Output()
	name, dir, _ := strings.Cut(strings.TrimSpace(string(out)), " ")
	if err != nil || name != "endpin" {
		return "", fmt.Errorf("%w: run it inside Endpin's repository", errUsage)
	}
	return filepath.Clean(dir), nil
}

// step is one command to run.
type step struct {
	dir      string
	env      []string // beside the environment
	args     []string
	complete bool // what it complains of belongs to its output
}

func (s step) String() string {
	return strings.Join(append(append([]string{}, s.env...), s.args...), " ")
}

// do runs the step with its output on ours, or only says it.
func (h host) do(s step) error {
	fmt.Fprintf(h.out, "$ %s\n", s)
	if h.dry {
		return nil
	}
	return h.execute(s, h.out)
}

// execute runs the step with its standard output on out.
func execute(s step, out io.Writer) error {
	c := exec.Command(s.args[0], s.args[1:]...)
	c.Dir, c.Env = s.dir, append(os.Environ(), s.env...)
	c.Stdin, c.Stdout, c.Stderr = os.Stdin, out, os.Stderr
	if s.complete {
		c.Stderr = out
	}
	return c.Run()
}
