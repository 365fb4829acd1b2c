package main

import (
	"bytes"
	"fmt"
	"go/format"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"time"
)

// fuzzFor is how many inputs each fuzzer tries that are new: a count, since on a
// busy machine a time ends in the middle of one. Its seeds, and what it ever
// broke, run with the tests.
const fuzzFor = "2000x"

// runTests runs all checks, also after one has failed, and closes with a line
// that says which.
func runTests(h host, root string) error {
	begun := time.Now()
	var failed []string
	check := func(name string, what func() error) {
		fmt.Fprintf(h.out, "\n== %s\n", name)
		from := time.Now()
		if err := what(); err != nil {
			fmt.Fprintf(h.out, "%s: failed: %v\n", name, err)
			failed = append(failed, name)
			return
		}
		if !h.dry {
			fmt.Fprintf(h.out, "%s: well, %s\n", name, time.Since(from).Round(time.Second))
		}
	}
	command := func(args ...string) func() error {
		return func() error { return h.do(step{dir: root, args: args}) }
	}
	if !h.dry {
		check("format", func() error { return unformatted(root) })
	}
	check("vet", command("go", "vet", "./..."))
	check("staticcheck", command("go", "tool", "staticcheck", "./..."))
	check("known faults", func() error { return knownFaults(h, root) })
	// One package more than there are processors: the journeys of the desk mostly wait for sound.
	check("tests", command("go", "test", "-p", strconv.Itoa(runtime.NumCPU()+1), "-timeout", "30m", "./..."))
	check("race", func() error { return raceTests(h, root) })
	check("fuzz", func() error { return fuzzers(h, root) })

	took := time.Since(begun).Round(time.Second)
	if len(failed) > 0 {
		return fmt.Errorf("failed after %s: %s", took, strings.Join(failed, ", "))
	}
	if h.dry {
		return nil
	}
	fmt.Fprintf(h.out, "\nAll is well after %s: format, vet, staticcheck, known faults, tests, race, fuzz.\n", took)
	return nil
}

// knownFaults looks up what is known to be wrong with the libraries and Go itself, as
// far as it is called here. Where the database cannot be reached that is said, and fails
// nothing.
func knownFaults(h host, root string) error {
	var out bytes.Buffer
	err := h.execute(step{dir: root, args: []string{"go", "tool", "govulncheck", "./..."}, complete: true}, &out)
	if err != nil && strings.Contains(out.String(), "fetching vulnerabilities") {
		fmt.Fprintln(h.out, "Not looked up: the database of known faults, vuln.go.dev, cannot be reached from here.")
		return nil
	}
	if err != nil {
		return fmt.Errorf("%w\n%s", err, out.String())
	}
	return nil
}

// unformatted names the Go files that gofmt would change.
func unformatted(root string) error {
	var wrong []string
	err := filepath.WalkDir(root, func(path string, entry fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if entry.IsDir() && path != root && strings.HasPrefix(entry.Name(), ".") {
			return fs.SkipDir
		}
		if entry.IsDir() || filepath.Ext(path) != ".go" {
			return nil
		}
		source, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		want, err := format.Source(source)
		if err != nil {
			return fmt.Errorf("%s: %w", path, err)
		}
		if !bytes.Equal(source, want) {
			wrong = append(wrong, path)
		}
		return nil
	})
	if err == nil && len(wrong) > 0 {
		err = fmt.Errorf("run gofmt -w %s", strings.Join(wrong, " "))
	}
	return err
}

// raceTests runs the tests again with the race detector, where something can race.
// They are told -short, in which tests of accuracy, slow and without a second
// goroutine, are left out.
func raceTests(h host, root string) error {
	var out bytes.Buffer
	list := []string{"go", "list", "-f", "{{.ImportPath}}\t{{.Dir}}", "./..."}
	if err := h.execute(step{dir: root, args: list}, &out); err != nil {
		return err
	}
	args := []string{"go", "test", "-race", "-short", "-timeout", "30m"}
	for line := range strings.Lines(out.String()) {
		name, dir, _ := strings.Cut(strings.TrimSpace(line), "\t")
		if withoutRace[name] != "" {
			continue
		}
		can, err := raced(dir)
		if err != nil {
			return err
		}
		if can {
			args = append(args, name)
		}
	}
	return h.do(step{dir: root, env: []string{"CGO_ENABLED=1"}, args: args})
}

// fuzzers runs each fuzz target that there is for a while.
func fuzzers(h host, root string) error {
	var out bytes.Buffer
	if err := h.execute(step{dir: root, args: []string{"go", "test", "-list", "^Fuzz", "./..."}}, &out); err != nil {
		return fmt.Errorf("%w\n%s", err, out.String())
	}
	targets := fuzzTargets(out.String())
	if len(targets) == 0 {
		return fmt.Errorf("found no fuzz target")
	}
	for _, t := range targets {
		// Shrinking what is merely new to the fuzzer would take all of its time.
		err := h.do(step{dir: root, args: []string{"go", "test", "-run", "^$", "-fuzz", "^" + t.name + "$",
			"-fuzztime", fuzzFor, "-fuzzminimizetime", "10x", t.of}})
		if err != nil {
			return fmt.Errorf("%s in %s: %w", t.name, t.of, err)
		}
	}
	return nil
}

type fuzzTarget struct{ name, of string }

// fuzzTargets reads what go test -list says: the names of a package's targets,
// and then "ok", the package and the time.
func fuzzTargets(list string) (targets []fuzzTarget) {
	var names []string
	for _, line := range strings.Split(list, "\n") {
		fields := strings.Fields(line)
		switch {
		case len(fields) == 1 && strings.HasPrefix(line, "Fuzz"):
			names = append(names, line)
		case len(fields) >= 2 && fields[0] == "ok":
			for _, name := range names {
				targets = append(targets, fuzzTarget{name, fields[1]})
			}
			names = nil
		}
	}
	return targets
}
