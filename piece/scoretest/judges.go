package scoretest

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"endpin/piece/midi"
)

// Schema is the W3C's schema of MusicXML 4.0, in the folder that ENDPIN_MUSICXML_SCHEMA
// names, else in a shared one beside the repository; xmllint validates by it.
type Schema struct{ folder string }

// NewSchema is the schema; without it, or without xmllint, the test is skipped.
func NewSchema(t testing.TB) *Schema {
	t.Helper()
	from := Shared(t, "ENDPIN_MUSICXML_SCHEMA", "musicxml-schema")
	if _, err := os.Stat(filepath.Join(from, "musicxml.xsd")); err != nil {
		t.Skip("the schema of MusicXML is not here: set ENDPIN_MUSICXML_SCHEMA to its folder")
	}
	need(t, "xmllint", "libxml2-utils")
	s := &Schema{folder: t.TempDir()}
	for _, name := range []string{"musicxml.xsd", "xlink.xsd", "xml.xsd"} {
		xsd, err := os.ReadFile(filepath.Join(from, name))
		if err != nil {
			t.Fatal(err)
		}
		text := strings.ReplaceAll(string(xsd), "http://www.musicxml.org/xsd/", "") // its imports: the files beside it
		write(t, filepath.Join(s.folder, name), []byte(text))
	}
	return s
}

// Invalid gives what is wrong with those of some files, by their names, that are not
// valid: a few lines of xmllint's.
func (s *Schema) Invalid(t testing.TB, files map[string][]byte) map[string]string {
	t.Helper()
	args := []string{"--nonet", "--noout", "--schema", filepath.Join(s.folder, "musicxml.xsd")}
	dir := t.TempDir()
	for name, data := range files {
		path := filepath.Join(dir, name)
		write(t, path, data)
		args = append(args, path)
	}
	said, _ := exec.Command("xmllint", args...).CombinedOutput()
	text := string(said)
	wrong := map[string]string{}
	for name := range files {
		path := filepath.Join(dir, name)
		if strings.Contains(text, path+" validates\n") {
			continue
		}
		var of []string
		for line := range strings.Lines(text) {
			if strings.HasPrefix(line, path) && len(of) < 5 {
				of = append(of, line)
			}
		}
		wrong[name] = strings.Join(of, "")
	}
	return wrong
}

// ABC2MIDI gives the notes of a tune in ABC as abc2midi (package abcmidi) plays them.
// Without it the test is skipped.
func ABC2MIDI(t testing.TB, abc string) []midi.Note {
	t.Helper()
	need(t, "abc2midi", "abcmidi")
	dir := t.TempDir()
	in, out := filepath.Join(dir, "tune.abc"), filepath.Join(dir, "tune.mid")
	write(t, in, []byte(abc))
	if said, err := exec.Command("abc2midi", in, "-o", out, "-silent").CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, said)
	}
	data, err := os.ReadFile(out)
	if err != nil {
		t.Fatal(err)
	}
	f, err := midi.Read(data)
	if err != nil {
		t.Fatal(err)
	}
	if len(f.Tracks) != 1 {
		t.Fatalf("%d tracks", len(f.Tracks))
	}
	return f.Tracks[0].Notes
}

func write(t testing.TB, path string, data []byte) {
	t.Helper()
	if err := os.WriteFile(path, data, 0o600); err != nil {
		t.Fatal(err)
	}
}
