package main

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestAFileOfFiguresIsRenewedAndItsTextStays(t *testing.T) {
	path := filepath.Join(t.TempDir(), "onsets.md")
	s := subject{"Onsets", "takes", "nothing"}
	day := time.Date(2026, 11, 29, 12, 0, 0, 0, time.UTC)
	require.NoError(t, s.renew(path, "--write --only onsets", []byte("bowed 0.9  \n"), day))
	first, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Regexp(t, "(?s)^# Onsets\n\nMeasured on 29 November 2026 by `go run ./cmd/dev measure --write --only onsets`\nat commit .*, by go1.*, on .+ cores, .*\n\n"+
		"Made on: takes.\nTuned on: nothing.\n\n```\nbowed 0.9\n```\n$", string(first))

	const text = "\n## Carried over\n\nOld.\n\n## By hand\n\nOlder.\n"
	require.NoError(t, os.WriteFile(path, append(first, text...), 0o600))
	require.NoError(t, s.renew(path, "--write --only onsets --seed 9", []byte("bowed 1.0\n"), day))
	second, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Contains(t, string(second), "bowed 1.0\n```\n"+text)
	assert.NotContains(t, string(second), "0.9")
}

func TestEveryPartHasItsFileOfFigures(t *testing.T) {
	for _, r := range rows {
		text, err := os.ReadFile(filepath.Join("..", "..", "..", "testdata", "figures", r.name+".md"))
		require.NoError(t, err)
		assert.Contains(t, string(text), "# "+r.title+"\n")
		assert.NotEmpty(t, r.made, r.name)
		assert.NotEmpty(t, r.tuned, r.name)
	}
}

func TestWhatTestsLogIsKeptWithoutItsPlace(t *testing.T) {
	assert.Equal(t, []string{"of 29 findings 29", "BenchmarkOutline/100-2 64 18123456 ns/op"}, loggedIn([]byte(
		"=== RUN   TestLooks\n    desk_test.go:97: of 29  findings 29\n--- PASS: TestLooks (7.43s)\nBenchmarkOutline/100-2   \t      64\t  18123456 ns/op\nBenchmarkOutline\nPASS\nok  \tendpin\t1.2s\n")))
}
