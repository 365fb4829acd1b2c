package main

import (
	"fmt"
	"math"
	"os"
	"strconv"
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

// hair is by how much a figure may differ from what the README shows of it, by the
// word that follows: what is heard moves a little with every change of the listening.
var hair = map[string]float64{"cents": 3, "ms": 15, "Hz": 0.3}

// apart is where two texts differ by more than a hair, word by word; "" for nowhere.
// Kinds, measures, trusts and what no unit follows have to be the same to the letter.
func apart(shown, said string) string {
	a, b := strings.Fields(shown), strings.Fields(said)
	for i := range min(len(a), len(b)) {
		if a[i] == b[i] {
			continue
		}
		var most float64
		if i+1 < len(a) {
			most = hair[a[i+1]]
		}
		x, err := strconv.ParseFloat(a[i], 64)
		y, err2 := strconv.ParseFloat(b[i], 64)
		if err != nil || err2 != nil || math.Abs(x-y) > most {
			return fmt.Sprintf("%q for %q", strings.Join(b[max(0, i-3):min(len(b), i+4)], " "), strings.Join(a[max(0, i-3):min(len(a), i+4)], " "))
		}
	}
	if len(a) != len(b) {
		return fmt.Sprintf("%d words for %d", len(b), len(a))
	}
	return ""
}

func TestTheREADMEShowsWhatTheDemoSays(t *testing.T) {
	slow(t)
	want := shown(t, "endpin demo")
	t.Chdir(t.TempDir())
	out, errOut, code := endpin("demo")
	assert.Equal(t, heard, code, errOut)
	assert.Empty(t, apart(want, out), "put the new output of endpin demo into README.md:\n%s", out)
}

func TestTheREADMEHoldsKindsMeasuresAndValuesButForAHair(t *testing.T) {
	want := shown(t, "endpin demo")
	for was, is := range map[string]string{"+30 cents": "+32 cents", "243 ms": "232 ms", "440.3 Hz": "440.5 Hz", "How sure": "How  sure"} {
		require.Contains(t, want, was)
		assert.Empty(t, apart(want, strings.Replace(want, was, is, 1)))
	}
	for was, is := range map[string]string{"+30 cents": "+35 cents", "+30": "-30", "243 ms": "220 ms", "sharp after": "flat after", "5-7 ": "5-8 ",
		"\n9 ": "\n8 ", "semitone   sure": "semitone   fair", "+1 semitone": "+2 semitones", "1 of 2 beats": "0 of 2 beats", "nothing to mend": ""} {
		require.Contains(t, want, was)
		assert.NotEmpty(t, apart(want, strings.Replace(want, was, is, 1)), "%s for %s", is, was)
	}
}

func TestTheREADMEShowsTheHelp(t *testing.T) {
	want := shown(t, "endpin hear --help")
	out, _, _ := endpin("hear", "--help")
	assert.Equal(t, out, want, "put the new output of endpin hear --help into README.md")
}
