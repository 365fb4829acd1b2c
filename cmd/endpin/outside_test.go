package main

import (
	"bytes"
	"database/sql"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// hostile is what a file may be called, and a title be: it clears a terminal, writes
// from right to left and forges a line.
const hostile = "Gate\x1b[2J\u009b31m\u202eSong\nendpin: all is well"

// onlyWords says that what was written does nothing but stand there.
func onlyWords(t *testing.T, what, said string) {
	t.Helper()
	require.NotEmpty(t, said, what)
	for _, r := range said {
		if r != '\n' && (unicode.IsControl(r) || r == '\u202e') {
			t.Fatalf("%s: %q", what, said)
		}
	}
	assert.NotContains(t, "\n"+said, "\nendpin: all is well", what)
}

func TestNothingFromOutsideReachesTheTerminalButWords(t *testing.T) {
	folder := t.TempDir()
	said := func(args ...string) string {
		t.Helper()
		var out, errOut bytes.Buffer
		run(args, &out, &errOut)
		return out.String() + errOut.String()
	}
	titled := filepath.Join(folder, hostile+".abc")
	require.NoError(t, os.WriteFile(titled, []byte("X:1\nT:"+strings.ReplaceAll(hostile, "\n", " ")+"\nL:1/4\nK:G clef=bass\nG,, A,, B,, C, |]\n"), 0o600))
	onlyWords(t, "a title", said("outline", titled))
	onlyWords(t, "a missing file", said("outline", filepath.Join(folder, "no"+hostile)))
	onlyWords(t, "a bad option", said("outline", titled, "--measures", hostile))
	onlyWords(t, "a command", said(hostile))
	written := said("outline", titled, "--json", "-")
	onlyWords(t, "JSON", written)
	require.NoError(t, json.Unmarshal([]byte(written), new(map[string]any)))

	piece, take := demoFiles(t)
	diary := filepath.Join(folder, "weeks.db")
	onlyWords(t, "a take", said("diary", "add", "--diary", diary, "Mina", piece, take))
	raw, err := sql.Open("sqlite", diary)
	require.NoError(t, err)
	_, err = raw.Exec(`UPDATE pieces SET title = ?1; UPDATE takes SET warning = ?1; INSERT INTO players (name) VALUES (?2)`, hostile, hostile)
	require.NoError(t, err)
	require.NoError(t, raw.Close())
	for _, command := range []string{"takes", "shifts", "report"} {
		onlyWords(t, command, said("diary", command, "--diary", diary, "Mina", "--report", filepath.Join(folder, "page.html")))
		onlyWords(t, command, said("diary", command, "--diary", diary, "Mina"))
	}
	onlyWords(t, "players", said("diary", "players", "--diary", diary))
	onlyWords(t, "remove", said("diary", "remove", "--diary", diary, "Mina", "1"))

	class := filepath.Join(folder, "class")
	require.NoError(t, os.Mkdir(class, 0o700))
	sound, err := os.ReadFile(take)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(class, hostile+".flac"), sound[:60000], 0o600))
	require.NoError(t, os.WriteFile(filepath.Join(class, "Ole"+hostile+".wav"), []byte("none"), 0o600))
	onlyWords(t, "class", said("class", piece, class, "--out", filepath.Join(folder, "out")))
	table, err := os.ReadFile(filepath.Join(folder, "out", "class.csv"))
	require.NoError(t, err)
	onlyWords(t, "class.csv", strings.ReplaceAll(string(table), "\r\n", "\n"))
}

func TestAnExportOfADiaryHoldsNoFormula(t *testing.T) {
	folder := t.TempDir()
	piece, take := demoFiles(t)
	diary, out := filepath.Join(folder, "weeks.db"), filepath.Join(folder, "out")
	var said bytes.Buffer
	require.Equal(t, heard, run([]string{"diary", "add", "--diary", diary, "=HYPERLINK(1)", piece, take}, &said, &said), said.String())
	raw, err := sql.Open("sqlite", diary)
	require.NoError(t, err)
	_, err = raw.Exec(`UPDATE pieces SET title = '@SUM(1)'`)
	require.NoError(t, err)
	require.NoError(t, raw.Close())
	require.Equal(t, heard, run([]string{"diary", "export", "--diary", diary, out}, &said, &said), said.String())
	tables, err := filepath.Glob(filepath.Join(out, "*.csv"))
	require.NoError(t, err)
	require.NotEmpty(t, tables)
	for _, name := range tables {
		text, err := os.ReadFile(name)
		require.NoError(t, err)
		for _, formula := range []string{"=HYPERLINK", "@SUM"} {
			assert.NotContains(t, ","+string(text), ","+formula, name)
			assert.NotContains(t, string(text), "\n"+formula, name)
		}
	}
	require.NoError(t, os.Remove(filepath.Join(out, "diary.json")))
	again := filepath.Join(folder, "again.db")
	require.Equal(t, heard, run([]string{"diary", "import", "--diary", again, out}, &said, &said), said.String())
	said.Reset()
	require.Equal(t, heard, run([]string{"diary", "takes", "--diary", again, "=HYPERLINK(1)"}, &said, &said), said.String())
	assert.Contains(t, said.String(), " @SUM(1),")
}
