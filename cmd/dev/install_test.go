package main

import (
	"bytes"
	"errors"
	"io"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// computer is a host that holds what it is said to hold, and that installs what
// apt-get is told to.
type computer struct {
	host
	holds []string // programs, files and modules
	ran   []string
	said  bytes.Buffer
	dud   bool // apt-get does nothing
}

func newComputer(system string, holds ...string) *computer {
	c := &computer{holds: holds}
	holding := func(what string) bool { return slices.Contains(c.holds, what) }
	c.host = host{
		system: system, root: true, out: &c.said, in: strings.NewReader(""),
		onPath: holding, exists: holding,
		module: func(name string) bool { return holding("python3:" + name) },
		execute: func(s step, _ io.Writer) error {
			c.ran = append(c.ran, s.String())
			for _, n := range needs {
				if !c.dud && slices.Contains(s.args, "install") && slices.Contains(s.args, n.debian) {
					c.holds = append(c.holds, n.look)
				}
			}
			return nil
		},
	}
	return c
}

// debian is a fresh Debian with Go.
func debian() *computer { return newComputer("linux", "apt-get", "go") }

func TestFreshDebianIsTold(t *testing.T) {
	c := debian()
	c.yes = true
	require.NoError(t, c.provide(test))
	require.Len(t, c.ran, 2)
	assert.Equal(t, "env DEBIAN_FRONTEND=noninteractive apt-get -q update", c.ran[0])
	for _, n := range needs {
		if slices.Contains(n.jobs, test) {
			assert.Contains(t, c.ran[1], " "+n.debian)
			assert.Contains(t, c.said.String(), n.why)
		}
	}
	assert.NotContains(t, c.ran[1], "praat", "which only the measurements need")
	assert.Less(t, strings.Index(c.said.String(), needs[0].why), strings.Index(c.said.String(), "\n$ "),
		"the reasons come before the first command")
}

func TestNothingIsInstalledWhereNothingIsMissing(t *testing.T) {
	c := debian()
	c.yes = true
	require.NoError(t, c.provide(test))
	c.ran = nil
	c.said.Reset()
	require.NoError(t, c.provide(test))
	assert.Empty(t, c.ran)
	assert.Empty(t, c.said.String())
	require.NoError(t, c.provide(demo))
	assert.Empty(t, c.ran)
}

func TestDemoNeedsNothingButCertificates(t *testing.T) {
	c := debian()
	c.yes = true
	require.NoError(t, c.provide(demo))
	assert.True(t, strings.HasSuffix(c.ran[1], " --no-install-recommends ca-certificates"), c.ran[1])
}

func TestItAsksUnlessToldYes(t *testing.T) {
	for answer, installs := range map[string]bool{"y\n": true, "Yes\n": true, "n\n": false, "\n": false, "": false} {
		c := debian()
		c.asks, c.in = true, strings.NewReader(answer)
		err := c.provide(test)
		assert.Equal(t, installs, err == nil, "%q", answer)
		assert.Equal(t, installs, len(c.ran) > 0, "%q", answer)
		assert.Contains(t, c.said.String(), "Install it now? [y/N]")
	}
}

func TestWithNobodyToAskItSaysWhatToRun(t *testing.T) {
	c := debian()
	err := c.provide(test)
	assert.ErrorIs(t, err, errMissing)
	assert.ErrorContains(t, err, "go run ./cmd/dev --yes test")
	assert.Contains(t, c.said.String(), "apt-get -q install --yes --no-install-recommends ca-certificates git gcc")
	assert.Empty(t, c.ran)
}

func TestDryRunInstallsNothing(t *testing.T) {
	c := debian()
	c.yes, c.dry = true, true
	require.NoError(t, c.provide(test))
	assert.Empty(t, c.ran)
	assert.Contains(t, c.said.String(), "fluidsynth")
}

func TestOnlyRootInstalls(t *testing.T) {
	c := debian()
	c.yes, c.root = true, false
	assert.ErrorIs(t, c.provide(test), errMissing)
	assert.Contains(t, c.said.String(), "As root:\n  apt-get update\n")
	assert.Empty(t, c.ran)

	c = debian()
	c.yes, c.root, c.holds = true, false, append(c.holds, "sudo")
	require.NoError(t, c.provide(test))
	assert.True(t, strings.HasPrefix(c.ran[1], "sudo env DEBIAN_FRONTEND=noninteractive apt-get"), c.ran[1])
}

func TestElsewhereItHintsAndInstallsNothing(t *testing.T) {
	for system, hint := range map[string]string{
		"darwin":  "brew install git gcc fluid-synth",
		"windows": "choco install git mingw fluidsynth",
		"linux":   "Debian's are:\n  git gcc fluidsynth",
	} {
		c := newComputer(system)
		c.yes = true
		assert.ErrorIs(t, c.provide(test), errMissing, system)
		assert.Contains(t, c.said.String(), hint, system)
		assert.Empty(t, c.ran, system)
		assert.NoError(t, c.provide(demo), "the demo needs nothing there")
	}
}

func TestWhatIsNotThereAfterInstallingIsSaid(t *testing.T) {
	c := debian()
	c.yes, c.dud = true, true
	err := c.provide(measure)
	assert.ErrorIs(t, err, errMissing)
	assert.ErrorContains(t, err, "ca-certificates")

	c = debian()
	c.yes = true
	c.execute = func(step, io.Writer) error { return errors.New("exit status 100") }
	assert.ErrorIs(t, c.provide(measure), errMissing)
}

func TestCommandLine(t *testing.T) {
	for line, want := range map[string]order{
		"test":                   {job: test},
		"--yes demo":             {job: demo, yes: true},
		"demo --yes":             {job: demo, yes: true},
		"--dry-run test":         {job: test, dry: true},
		"--yes measure":          {job: measure, yes: true, options: []string{}},
		"measure --seeds 3 test": {job: measure, options: []string{"--seeds", "3", "test"}},
		"test --help":            {job: test, help: true},
	} {
		got, err := parse(strings.Fields(line))
		require.NoError(t, err, line)
		assert.Equal(t, want, got, line)
	}
	for _, line := range []string{"", "tset", "--force test", "demo test", "demo measure", "--yes"} {
		_, err := parse(strings.Fields(line))
		assert.ErrorIs(t, err, errUsage, line)
	}
	c := debian()
	require.NoError(t, run([]string{"--help"}, c.host))
	assert.Equal(t, usage, c.said.String())
}
