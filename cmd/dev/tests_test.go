package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const listOfFuzzers = `ok  	endpin/dsp	0.004s
FuzzWAV
FuzzMP3
ok  	endpin/dsp/recording	0.011s
?   	endpin/assets	[no test files]
FuzzABC
ok  	endpin/piece/notation	0.010s
`

func TestFuzzersAreFoundWithTheirPackages(t *testing.T) {
	assert.Equal(t, []fuzzTarget{
		{"FuzzWAV", "endpin/dsp/recording"}, {"FuzzMP3", "endpin/dsp/recording"}, {"FuzzABC", "endpin/piece/notation"},
	}, fuzzTargets(listOfFuzzers))
}

// tested is a computer on which go does as told and the step that holds failing
// fails.
func tested(t *testing.T, failing string) (*computer, error) {
	t.Helper()
	folder, races := t.TempDir(), t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(races, "a.go"), []byte("package a\n\nfunc f() { go f() }\n"), 0o600))
	c := debian()
	c.execute = func(s step, out io.Writer) error {
		c.ran = append(c.ran, s.String())
		switch {
		case strings.Contains(s.String(), " -list "):
			io.WriteString(out, listOfFuzzers)
		case strings.HasPrefix(s.String(), "go list"):
			fmt.Fprintf(out, "endpin/dsp\t%s\nendpin/piece\t%s\nendpin/cmd/dev\t%[1]s\n", races, folder)
		}
		if failing != "" && strings.Contains(s.String(), failing) {
			return errors.New("exit status 1")
		}
		return nil
	}
	require.NoError(t, os.WriteFile(filepath.Join(folder, "a.go"), []byte("package a\n"), 0o600))
	if failing == "format" {
		require.NoError(t, os.WriteFile(filepath.Join(folder, "b.go"), []byte("package  b\n"), 0o600))
	}
	return c, runTests(c.host, folder)
}

func TestEveryCheckRunsAndTheClosingLineSaysSo(t *testing.T) {
	c, err := tested(t, "")
	require.NoError(t, err)
	all := strings.Join(c.ran, "\n")
	assert.Contains(t, all, "go vet ./...")
	assert.Contains(t, all, "go tool staticcheck ./...")
	assert.Contains(t, all, fmt.Sprintf("go test -p %d -timeout 30m ./...", runtime.NumCPU()+1))
	assert.Contains(t, all, "-race -short -timeout 30m endpin/dsp\n", "and neither what computes nor cmd/dev")
	assert.Contains(t, all, "-fuzz ^FuzzABC$ -fuzztime 2000x -fuzzminimizetime 10x endpin/piece/notation")
	assert.Contains(t, c.said.String(), "All is well after 0s: format, vet, staticcheck, known faults, tests, race, fuzz.")
}

func TestKnownFaultsAreLookedUpWhereTheyCanBe(t *testing.T) {
	for says, fails := range map[string]bool{
		"govulncheck: fetching vulnerabilities: no such host": false,
		"Vulnerability #1: GO-2026-0001":                      true,
	} {
		c := debian()
		c.execute = func(s step, out io.Writer) error {
			assert.True(t, s.complete, "it says so where it complains")
			io.WriteString(out, says)
			return errors.New("exit status 1")
		}
		err := knownFaults(c.host, ".")
		assert.Equal(t, fails, err != nil, says)
		assert.Equal(t, !fails, strings.Contains(c.said.String(), "cannot be reached"), says)
	}
}

func TestWhatAStepComplainsOfBelongsToItsOutputWhereThatIsAsked(t *testing.T) {
	var out strings.Builder
	require.Error(t, execute(step{dir: ".", args: []string{"go", "no-such-command"}, complete: true}, &out))
	assert.Contains(t, out.String(), "no-such-command")
}

func TestOneFailureDoesNotStopTheOthersAndIsNamedAtTheEnd(t *testing.T) {
	for failing, name := range map[string]string{
		"format": "format", "go vet": "vet", "go tool staticcheck": "staticcheck", "govulncheck": "known faults", "go test -p": "tests", "-race": "race",
		"go list": "race", "^FuzzMP3$": "fuzz", " -list ": "fuzz",
	} {
		c, err := tested(t, failing)
		require.Error(t, err, failing)
		assert.True(t, strings.HasSuffix(err.Error(), ": "+name), "%s: %v", failing, err)
		assert.NotContains(t, c.said.String(), "All is well")
		assert.Contains(t, c.said.String(), "== fuzz", "the last check runs")
	}
}

func TestDemoBuildsWithoutCgoAndRuns(t *testing.T) {
	t.Setenv("DISPLAY", "")
	t.Setenv("WAYLAND_DISPLAY", "")
	c := debian()
	require.NoError(t, runDemo(c.host, "."))
	require.Len(t, c.ran, 2)
	assert.True(t, strings.HasPrefix(c.ran[0], "CGO_ENABLED=0 go build"))
	assert.True(t, strings.HasSuffix(c.ran[1], " demo"))
}

func TestDemoOpensTheDeskWhereThereIsADisplay(t *testing.T) {
	t.Setenv("DISPLAY", ":0")
	c := debian()
	require.NoError(t, runDemo(c.host, "."))
	require.Len(t, c.ran, 4)
	assert.True(t, strings.HasSuffix(c.ran[2], "./cmd/endpin-desk"))
	assert.True(t, strings.HasSuffix(c.ran[3], "endpin-desk"), "without a piece: the demo piece")
	assert.Contains(t, c.said.String(), "Where there is no microphone the demo take plays in its place.")
}
