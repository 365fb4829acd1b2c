package outline

import (
	"bytes"
	"fmt"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece"
	"endpin/piece/fingerboard"
	"endpin/piece/notation"
	"endpin/piece/pupil"
	"endpin/piece/scoretest"
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

func TestThePencilledFileIsValidMusicXML(t *testing.T) {
	schema := scoretest.NewSchema(t)
	files := map[string][]byte{}
	for name, p := range pencilable(t) {
		for i, how := range []fingerboard.Penciled{fingerboard.WhereTheHandMoves, fingerboard.EveryNote} {
			var b bytes.Buffer
			require.NoError(t, outlined(t, p, Options{}).WriteMusicXML(&b, p, how))
			files[fmt.Sprint(name, " ", i)] = b.Bytes()
		}
	}
	assert.Empty(t, schema.Invalid(t, files))
}
