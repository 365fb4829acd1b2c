package main

import (
	"bytes"
	"errors"
	"fmt"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"

	"endpin/dsp/rig"
)

// logged is a line that a test logs, or that a benchmark writes.
var logged = regexp.MustCompile(`^(?:\s+\w+_test\.go:\d+: (.+)|(Benchmark\S*\s+\d+\s.+))$`)

// fromTests keeps what tests and benchmarks log: figures that they hold, or that only
// they measure. Each is the arguments of one go test.
func fromTests(calls ...string) func(options) error {
	return func(o options) error {
		testdata, err := rig.Testdata()
		if err != nil {
			return err
		}
		for _, call := range calls {
			cmd := exec.Command("go", append([]string{"test", "-count=1", "-v"}, strings.Fields(call)...)...)
			cmd.Dir = filepath.Dir(testdata)
			out, err := cmd.CombinedOutput()
			if err != nil {
				return fmt.Errorf("go test %s: %w\n%s", call, err, out)
			}
			fmt.Fprintf(o.out, "$ go test %s\n", call)
			lines := loggedIn(out)
			if len(lines) == 0 {
				return errors.New("go test " + call + " logs nothing: it was skipped, or its tests have other names now")
			}
			fmt.Fprintln(o.out, "  "+strings.Join(lines, "\n  "))
		}
		return nil
	}
}

// loggedIn gives what tests logged, without the place that logs it.
func loggedIn(out []byte) (lines []string) {
	for line := range bytes.Lines(out) {
		if m := logged.FindSubmatch(bytes.TrimRight(line, "\n")); m != nil {
			lines = append(lines, strings.Join(strings.Fields(string(m[1])+string(m[2])), " "))
		}
	}
	return lines
}
