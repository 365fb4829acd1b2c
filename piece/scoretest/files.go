// Package scoretest has files of music to try readers and writers on, and others' programs
// that judge what is written; for tests.
//
//	Files, Readable ─> files of music ─> what is tried ─> Schema, ABC2MIDI: what others say of it
//
// Read Readable first.
package scoretest

import (
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"endpin/piece"
	"endpin/piece/notation"
)

// root is the repository's folder: the one above a test's that holds go.mod.
func root(t testing.TB) string {
	t.Helper()
	dir, err := os.Getwd()
	for err == nil {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			return dir
		}
		if filepath.Dir(dir) == dir {
			break
		}
		dir = filepath.Dir(dir)
	}
	t.Fatal("the test runs outside the repository")
	return ""
}

// Shared is a folder that the environment names, else one of a shared folder beside the
// repository; it need not be there.
func Shared(t testing.TB, variable, name string) string {
	t.Helper()
	if dir := os.Getenv(variable); dir != "" {
		return dir
	}
	return filepath.Join(root(t), "..", "shared", name)
}

// Suite is the folder of the MusicXML unit tests (the unofficial MusicXML test suite as
// kept with LilyPond's regression tests): the one that ENDPIN_MUSICXML_SUITE names, else
// a shared one beside the repository. It need not be there.
func Suite(t testing.TB) string { return Shared(t, "ENDPIN_MUSICXML_SUITE", "musicxml-suite") }

// Files are the contents of the files of some patterns, from the repository's folder where
// they are relative, by their names.
func Files(t testing.TB, patterns ...string) map[string][]byte {
	t.Helper()
	all := map[string][]byte{}
	for _, pattern := range patterns {
		if !filepath.IsAbs(pattern) {
			pattern = filepath.Join(root(t), pattern)
		}
		paths, err := filepath.Glob(pattern)
		if err != nil {
			t.Fatal(err)
		}
		for _, path := range paths {
			data, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			all[filepath.Base(path)] = data
		}
	}
	return all
}

// Readable are the pieces that readers and writers are tried on, by the names of their
// files: ours and, where they are there, those of the unit tests.
func Readable(t testing.TB) map[string]*piece.Piece {
	t.Helper()
	pieces := map[string]*piece.Piece{}
	for name, data := range Files(t, "testdata/pieces/*", "piece/manuscript/testdata/*.abc", "assets/*.musicxml", Suite(t)+"/*.xml") {
		if p, err := notation.Read(name, data); err == nil {
			pieces[name] = p
		}
	}
	if len(pieces) < 11 {
		t.Fatalf("only %d pieces are there", len(pieces))
	}
	return pieces
}

// Told is a piece without what a file of one part cannot tell again: what was not played,
// on what evidence the part was transposed, and from among which it was taken.
func Told(p *piece.Piece) *piece.Piece {
	q := *p
	q.NotPlayed, q.TransposedBy, q.Supposed, q.Taken, q.Parts = nil, "", false, "", nil
	return &q
}

// need skips a test whose program is missing, and fails it where all are to be there.
func need(t testing.TB, program, of string) {
	t.Helper()
	if _, err := exec.LookPath(program); err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatalf("%s is missing (Debian: %s)", program, of)
		}
		t.Skipf("%s is missing (Debian: %s)", program, of)
	}
}
