package main

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// shown is the first fenced block of README.md that runs a command, without its
// first line.
func shown(t *testing.T, command string) string {
	t.Helper()
	text, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	for i, part := range strings.Split(string(text), "\n```") {
		if i%2 == 0 {
			continue // between two blocks
		}
		_, block, _ := strings.Cut(part, "\n") // the language, if any
		if rest, ok := strings.CutPrefix(block+"\n", "$ "+command+"\n"); ok {
			return rest
		}
	}
	require.Fail(t, "README.md shows no block that begins with $ "+command)
	return ""
}

func TestTheREADMEShowsWhatTheDemoSays(t *testing.T) {
	slow(t)
	want := shown(t, "endpin demo")
	t.Chdir(t.TempDir())
	out, errOut, code := endpin("demo")
	assert.Equal(t, heard, code, errOut)
	assert.Equal(t, out, want, "put the new output of endpin demo into README.md")
}

func TestTheREADMEShowsTheHelp(t *testing.T) {
	want := shown(t, "endpin hear --help")
	out, _, _ := endpin("hear", "--help")
	assert.Equal(t, out, want, "put the new output of endpin hear --help into README.md")
}
