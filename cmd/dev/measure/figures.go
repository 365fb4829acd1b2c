package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"strings"
	"time"

	"endpin/piece/finding"
)

// subject is one file of testdata/figures: its heading, what its figures are made on,
// and what of that the listening was tuned on.
type subject struct{ title, made, tuned string }

// What trials are rendered from, and what is known of tuning on them.
const (
	renderedTakes = "takes composed and rendered as the command runs, by the project's own pupil, on a sampled bass (FluidR3_GM) and the recorded notes of a real one"
	lowSeeds      = "takes rendered in the same way, those of the seeds from 1 on among them; a first seed that nobody has looked at tells what is held out"
)

// renew writes what was measured into the subject's file. What stands there from the
// first heading of second rank on is text, and stays as it is.
func (s subject) renew(path, how string, table []byte, now time.Time) error {
	old, err := os.ReadFile(path)
	if err != nil && !os.IsNotExist(err) {
		return err
	}
	var out bytes.Buffer
	fmt.Fprintf(&out, "# %s\n\n", s.title)
	fmt.Fprintf(&out, "Measured on %s by `go run ./cmd/dev measure %s`\n%s\n\n", now.Format("2 January 2006"), how, machine())
	fmt.Fprintf(&out, "Made on: %s.\nTuned on: %s.\n\n```\n", s.made, s.tuned)
	for line := range bytes.Lines(table) {
		out.Write(append(bytes.TrimRight(line, " \n"), '\n'))
	}
	out.WriteString("```\n")
	if _, kept, there := bytes.Cut(old, []byte("\n## ")); there {
		out.WriteString("\n## ")
		out.Write(kept)
	}
	return os.WriteFile(path, out.Bytes(), 0o644)
}

// figuresFolder is testdata/figures of the repository that this runs in.
func figuresFolder() (string, error) {
	top, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}").Output()
	if err != nil {
		return "", fmt.Errorf("run it inside Endpin's repository: %w", err)
	}
	return filepath.Join(strings.TrimSpace(string(top)), "testdata", "figures"), nil
}

var model = regexp.MustCompile(`(?m)^model name\s*:\s*(.+)$`)

// machine tells what figures of time hang on, and the commit that was measured.
func machine() string {
	cpu := "a processor that does not tell its name"
	if info, err := os.ReadFile("/proc/cpuinfo"); err == nil {
		if m := model.FindSubmatch(info); m != nil {
			cpu = string(m[1])
		}
	}
	load := "not known"
	if l, err := os.ReadFile("/proc/loadavg"); err == nil {
		load, _, _ = strings.Cut(string(l), " ")
	}
	commit := "not known"
	if c, err := exec.Command("git", "rev-parse", "--short", "HEAD").Output(); err == nil {
		commit = strings.TrimSpace(string(c))
		if changed, err := exec.Command("git", "status", "--porcelain", "--untracked-files=no", "--", "*.go", "go.mod").Output(); err != nil || len(changed) > 0 {
			commit += " and changes to it"
		}
	}
	return fmt.Sprintf("at commit %s (listening %d), by %s, on %s, %d cores, %s/%s, with a load of %s as it ended.", commit, finding.Listening, runtime.Version(), cpu, runtime.NumCPU(), runtime.GOOS, runtime.GOARCH, load)
}
