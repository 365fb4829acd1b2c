package outline

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece"
	"endpin/piece/fingerboard"
	"endpin/piece/notation"
	"endpin/piece/pupil"
)

// pencilable are all the pieces of the house, and fifty tunes that a machine made.
func pencilable(t *testing.T) map[string]*piece.Piece {
	pieces := map[string]*piece.Piece{"demo": demoPiece(t), "again": againPiece(t)}
	files, err := filepath.Glob(filepath.Join("..", "..", "testdata", "pieces", "*.*"))
	require.NoError(t, err)
	for _, f := range files {
		if filepath.Ext(f) != ".md" {
			pieces[filepath.Base(f)] = tune(t, filepath.Base(f))
		}
	}
	require.GreaterOrEqual(t, len(pieces), 12)
	for seed := range int64(50) {
		style := pupil.Style{Triplets: seed%3 == 0, Pickup: seed%4 == 0}
		pieces[fmt.Sprint("composed ", seed)] = pupil.Compose(style, 7000+seed).Piece
	}
	return pieces
}

// movesOf are the shifts of the first time round, without whether they are
// marked: in the file they all are.
func movesOf(out *Outline) (moves []Shift) {
	for _, s := range out.Plan.Shifts {
		n := &out.Line[s.Note]
		if n.Pass > 1 {
			continue
		}
		var held []piece.Expected
		for _, e := range out.Line[s.Note : s.LastNote+1] {
			if e.Pass == 1 {
				held = append(held, e)
			}
		}
		moves = append(moves, Shift{Measure: n.Number, Beat: n.Beat, String: s.String, From: s.From, To: s.To,
			Semitones: s.Semitones, FingerFrom: s.FingerFrom, FingerTo: s.FingerTo, CarriedBy: string(s.CarriedBy), Covers: covered(held)})
	}
	return moves
}

func handsOf(out *Outline) []Note {
	notes := append([]Note{}, out.Notes...)
	for i := range notes {
		notes[i].Marked = false
	}
	return notes
}

func TestThePencilledFileIsReadBackWithTheSameNotesFingersAndShifts(t *testing.T) {
	for name, p := range pencilable(t) {
		for _, o := range []Options{{}, {Positions: []string{"1", "3"}}} {
			for _, how := range []fingerboard.Penciled{fingerboard.WhereTheHandMoves, fingerboard.EveryNote} {
				out := outlined(t, p, o)
				if len(out.Plan.Outside) > 0 {
					continue // notes that the positions do not reach have no finger to write
				}
				var b bytes.Buffer
				require.NoError(t, out.WriteMusicXML(&b, p, how), name)
				p2, err := notation.Read(name, b.Bytes())
				require.NoError(t, err, name)
				again := outlined(t, p2, Options{})
				assert.Equal(t, handsOf(out), handsOf(again), "%s %v", name, o)
				assert.Equal(t, movesOf(out), movesOf(again), "%s %v", name, o)
				assert.Equal(t, out.Sections, again.Sections, name)
			}
		}
	}
}

func TestTheBracketsOfHandFramesDoNotOverlap(t *testing.T) {
	for name, p := range pencilable(t) {
		out := outlined(t, p, Options{})
		last := piece.At{Measure: -1}
		for _, f := range out.frames(p) {
			assert.True(t, last.Measure < f[0].Measure || last.Measure == f[0].Measure && last.Note < f[0].Note, name)
			assert.True(t, f[0].Measure < f[1].Measure || f[0].Measure == f[1].Measure && f[0].Note <= f[1].Note, name)
			last = f[1]
		}
	}
}

// The W3C's schema of MusicXML 4.0, in the folder that ENDPIN_MUSICXML_SCHEMA
// names, else in a shared folder beside the repository; xmllint validates.
func TestThePencilledFileIsValidMusicXML(t *testing.T) {
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
	folder := t.TempDir()
	for _, name := range []string{"musicxml.xsd", "xlink.xsd", "xml.xsd"} {
		xsd, err := os.ReadFile(filepath.Join(dir, name))
		require.NoError(t, err)
		text := strings.ReplaceAll(string(xsd), "http://www.musicxml.org/xsd/", "") // its imports: the files beside it
		require.NoError(t, os.WriteFile(filepath.Join(folder, name), []byte(text), 0o600))
	}
	args := []string{"--nonet", "--noout", "--schema", filepath.Join(folder, "musicxml.xsd")}
	for name, p := range pencilable(t) {
		for i, how := range []fingerboard.Penciled{fingerboard.WhereTheHandMoves, fingerboard.EveryNote} {
			var b bytes.Buffer
			require.NoError(t, outlined(t, p, Options{}).WriteMusicXML(&b, p, how))
			path := filepath.Join(folder, fmt.Sprintf("%s.%d.musicxml", name, i))
			require.NoError(t, os.WriteFile(path, b.Bytes(), 0o600))
			args = append(args, path)
		}
	}
	said, err := exec.Command("xmllint", args...).CombinedOutput()
	if err != nil {
		lines := strings.Split(string(said), "\n")
		var wrong []string
		for _, l := range lines {
			if !strings.HasSuffix(l, "validates") && len(wrong) < 10 {
				wrong = append(wrong, l)
			}
		}
		t.Error(strings.Join(wrong, "\n"))
	}
}
