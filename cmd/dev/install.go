package main

import (
	"bufio"
	"fmt"
	"io"
	"os"
	"os/exec"
	"runtime"
	"strings"
)

// host is what installing has to know of a computer, and what it does to it.
type host struct {
	system  string // as in runtime.GOOS
	root    bool
	yes     bool // install without asking
	dry     bool // only say it
	asks    bool // somebody may be there to answer
	in      io.Reader
	out     io.Writer
	onPath  func(program string) bool
	exists  func(path string) bool
	module  func(name string) bool // of Python
	execute func(s step, out io.Writer) error
}

// thisHost is the computer that this runs on.
func thisHost() host {
	stdin, err := os.Stdin.Stat()
	return host{
		system: runtime.GOOS,
		root:   os.Geteuid() == 0,
		yes:    os.Getenv("CI") == "true",
		asks:   err == nil && stdin.Mode()&os.ModeCharDevice != 0,
		in:     os.Stdin,
		out:    os.Stdout,
		onPath: func(program string) bool {
			_, err := exec.LookPath(program)
			return err == nil
		},
		exists: func(path string) bool {
			_, err := os.Stat(path)
			return err == nil
		},
		module:  hasModule,
		execute: execute,
	}
}

// provide sees to it that the job has all that it needs: it says what is missing
// and why, asks, and installs it.
func (h host) provide(j job) error {
	lacking := h.missing(j)
	if len(lacking) == 0 {
		return nil
	}
	fmt.Fprintf(h.out, "%s needs what this computer lacks:\n", j)
	for _, n := range lacking {
		name := n.name(h.system)
		if name == "" {
			name = strings.TrimPrefix(n.look, "python3:")
		}
		fmt.Fprintf(h.out, "  %-20s %s\n", name, n.why)
	}
	steps, byHand := h.plan(lacking)
	if steps == nil {
		fmt.Fprintf(h.out, "\n%s\n", byHand)
		if h.dry {
			return nil
		}
		return fmt.Errorf("%w: what %s needs, see above: install it, and run this again", errMissing, j)
	}
	fmt.Fprintln(h.out, "\nThese commands install it:")
	for _, s := range steps {
		fmt.Fprintf(h.out, "  %s\n", s)
	}
	if h.dry {
		return nil
	}
	if err := h.agree(j); err != nil {
		return err
	}
	for _, s := range steps {
		if err := h.do(s); err != nil {
			return fmt.Errorf("%w: %s: %v", errMissing, s, err)
		}
	}
	if still := h.missing(j); len(still) > 0 {
		return fmt.Errorf("%w: %s is not there even now: install %s by hand",
			errMissing, still[0].look, still[0].name(h.system))
	}
	return nil
}

// plan gives the commands that install what is lacking or, where they are not
// ours to run, what to tell the user.
func (h host) plan(lacking []need) (steps []step, byHand string) {
	var names []string
	for _, n := range lacking {
		if name := n.name(h.system); name != "" {
			names = append(names, name)
		}
	}
	list := strings.Join(names, " ")
	switch {
	case h.system == "darwin":
		return nil, "  brew install " + list + `
mir_eval comes by: python3 -m pip install mir_eval
FluidR3_GM.sf2, a General MIDI soundfont, goes into the folder sounds/sf2 of one that XDG_DATA_DIRS names.`
	case h.system == "windows":
		return nil, "  choco install " + list + `
(in an administrator's shell; winget has most of it too). mir_eval comes by: py -m pip install mir_eval
For tests with everything use WSL with Debian: not all of it is packaged for Windows.`
	case !h.debian():
		return nil, "This system's packages have it under names of their own; Debian's are:\n  " + list
	}
	as := []string{"env", "DEBIAN_FRONTEND=noninteractive", "apt-get"}
	switch {
	case !h.root && h.onPath("sudo"):
		as = append([]string{"sudo"}, as...)
	case !h.root:
		return nil, "As root:\n  apt-get update\n  apt-get install --no-install-recommends " + list
	}
	apt := func(args ...string) step { return step{args: append(as[:len(as):len(as)], args...)} }
	return []step{
		apt("-q", "update"),
		apt(append([]string{"-q", "install", "--yes", "--no-install-recommends"}, names...)...),
	}, ""
}

// agree asks whether to install.
func (h host) agree(j job) error {
	if h.yes {
		return nil
	}
	if h.asks {
		fmt.Fprint(h.out, "Install it now? [y/N] ")
		answer, _ := bufio.NewReader(h.in).ReadString('\n')
		switch strings.ToLower(strings.TrimSpace(answer)) {
		case "y", "yes":
			return nil
		}
		fmt.Fprintln(h.out)
	}
	return fmt.Errorf("%w: run these commands yourself, or: go run ./cmd/dev --yes %s", errMissing, j)
}
