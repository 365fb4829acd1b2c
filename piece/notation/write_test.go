package notation_test

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece"
	"endpin/piece/notation"
)

// written writes a piece and reads it again.
func written(t testing.TB, p *piece.Piece, o notation.WriteOptions) (file []byte, again *piece.Piece) {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, notation.Write(&b, p, o))
	again, err := notation.Read("written", b.Bytes())
	require.NoError(t, err)
	return b.Bytes(), again
}

// told is a piece without what a file of one part cannot tell again: what was not
// played, on what evidence the part was transposed, and from among which it was taken.
func told(p *piece.Piece) *piece.Piece {
	q := *p
	q.NotPlayed, q.TransposedBy, q.Supposed, q.Taken, q.Parts = nil, "", false, "", nil
	return &q
}

// files are the contents of the files of some patterns.
func files(t *testing.T, patterns ...string) map[string][]byte {
	t.Helper()
	all := map[string][]byte{}
	for _, pattern := range patterns {
		names, err := filepath.Glob(pattern)
		require.NoError(t, err)
		for _, f := range names {
			all[f], err = os.ReadFile(f)
			require.NoError(t, err)
		}
	}
	return all
}

// readable lists the pieces that the reader is tried on.
func readable(t *testing.T) map[string]*piece.Piece {
	pieces := map[string]*piece.Piece{}
	for f, data := range files(t, "../../testdata/pieces/*", "../manuscript/testdata/*.abc", "../../assets/*.musicxml", suiteFolder()+"/*.xml") {
		if p, err := notation.Read(f, data); err == nil {
			pieces[filepath.Base(f)] = p
		}
	}
	require.GreaterOrEqual(t, len(pieces), 11)
	return pieces
}

func TestAWrittenPieceIsReadAgainAsItWas(t *testing.T) {
	pieces := readable(t)
	for name, p := range pieces {
		_, again := written(t, p, notation.WriteOptions{})
		assert.Equal(t, told(p), told(again), name)
	}
	t.Logf("%d pieces", len(pieces))
}

// The W3C's schema of MusicXML 4.0, in the folder that ENDPIN_MUSICXML_SCHEMA
// names, else in a shared folder beside the repository; xmllint validates.
func TestAWrittenPieceIsValidMusicXML(t *testing.T) {
	out := t.TempDir()
	args := validating(t, out)
	for name, p := range readable(t) {
		file, _ := written(t, p, notation.WriteOptions{Brackets: firstMeasure(p), Sections: []notation.Section{{Measure: 0, Name: "1"}}})
		path := filepath.Join(out, name+".musicxml")
		require.NoError(t, os.WriteFile(path, file, 0o600))
		args = append(args, path)
	}
	invalid := filepath.Join(out, "invalid.musicxml")
	said, err := exec.Command("xmllint", args...).CombinedOutput()
	assert.NoError(t, err, "%s", complaints(said))

	require.NoError(t, os.WriteFile(invalid, []byte(`<score-partwise version="4.0"><part/></score-partwise>`), 0o600))
	_, err = exec.Command("xmllint", append(args[:4:4], invalid)...).CombinedOutput()
	assert.Error(t, err, "a file that is not valid is found out")
}

// validating is what xmllint is told to hold files to the schema, which goes into a folder.
func validating(t *testing.T, out string) []string {
	t.Helper()
	dir := os.Getenv("ENDPIN_MUSICXML_SCHEMA")
	if dir == "" {
		dir = "../../../shared/musicxml-schema"
	}
	if _, err := os.Stat(filepath.Join(dir, "musicxml.xsd")); err != nil {
		t.Skip("the schema of MusicXML is not here: set ENDPIN_MUSICXML_SCHEMA to its folder")
	}
	if _, err := exec.LookPath("xmllint"); err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("xmllint is missing (Debian: libxml2-utils)")
		}
		t.Skip("xmllint is missing (Debian: libxml2-utils)")
	}
	for _, name := range []string{"musicxml.xsd", "xlink.xsd", "xml.xsd"} {
		xsd, err := os.ReadFile(filepath.Join(dir, name))
		require.NoError(t, err)
		text := strings.ReplaceAll(string(xsd), "http://www.musicxml.org/xsd/", "") // its imports: the files beside it
		require.NoError(t, os.WriteFile(filepath.Join(out, name), []byte(text), 0o600))
	}
	return []string{"--nonet", "--noout", "--schema", filepath.Join(out, "musicxml.xsd")}
}

// firstMeasure brackets the first measure that has notes.
func firstMeasure(p *piece.Piece) []notation.Bracket {
	for i := range p.Measures {
		if n := len(p.Measures[i].Notes); n > 0 {
			return []notation.Bracket{{From: piece.At{Measure: i}, To: piece.At{Measure: i, Note: n - 1}}}
		}
	}
	return nil
}

func complaints(said []byte) string {
	lines := strings.Split(string(said), "\n")
	lines = slices.DeleteFunc(lines, func(l string) bool { return strings.HasSuffix(l, "validates") })
	return strings.Join(lines[:min(len(lines), 20)], "\n")
}

func TestWhatATeacherPencilsInIsWritten(t *testing.T) {
	p := read(t, "two_places.musicxml")
	n := &p.Measures[0].Notes[0]
	for _, token := range []string{"half", "1", "2", "2-3", "3", "3-4", "4", "5", "5-6", "6", "6-7", "7", "thumb"} {
		n.Marks = piece.Marks{Finger: "T", String: 3, Position: token, Bow: piece.Up, Harmonic: true, Open: true}
		_, again := written(t, p, notation.WriteOptions{})
		assert.Equal(t, n.Marks, again.Measures[0].Notes[0].Marks)
	}
}

func TestBracketsAndSectionsAreDrawnAndChangeNoNote(t *testing.T) {
	p := read(t, "low_tide.abc")
	file, again := written(t, p, notation.WriteOptions{Brackets: firstMeasure(p), Sections: []notation.Section{{Measure: 4, Name: "2"}}})
	assert.Equal(t, 1, bytes.Count(file, []byte(`<bracket type="start"`)))
	assert.Equal(t, 1, bytes.Count(file, []byte(`<bracket type="stop"`)))
	assert.Equal(t, "2", again.Measures[4].Rehearsal)
	again.Measures[4].Rehearsal = ""
	assert.Equal(t, told(p), told(again))

	p.Measures[0].Rehearsal = "A"
	file, again = written(t, p, notation.WriteOptions{Sections: []notation.Section{{Measure: 4, Name: "II"}}})
	assert.Contains(t, string(file), "<words>section II</words>", "a teacher's own marks stand")
	assert.Equal(t, []piece.Text{{Says: "section II"}}, again.Measures[4].Texts)
	again.Measures[4].Texts = nil
	assert.Equal(t, told(p), told(again))
}
