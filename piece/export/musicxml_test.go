package export_test

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece"
	"endpin/piece/export"
	"endpin/piece/notation"
	"endpin/piece/scoretest"
)

// written writes a piece and reads it again.
func written(t testing.TB, p *piece.Piece, o export.Options) (file []byte, again *piece.Piece) {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, export.MusicXML(&b, p, o))
	again, err := notation.Read("written", b.Bytes())
	require.NoError(t, err)
	return b.Bytes(), again
}

// fixture is one of the project's pieces.
func fixture(t testing.TB, name string) *piece.Piece {
	t.Helper()
	p, err := notation.Read(name, scoretest.Files(t, "testdata/pieces/*")[name])
	require.NoError(t, err)
	return p
}

func TestAWrittenPieceIsReadAgainAsItWas(t *testing.T) {
	pieces := scoretest.Readable(t)
	for name, p := range pieces {
		_, again := written(t, p, export.Options{})
		assert.Equal(t, scoretest.Told(p), scoretest.Told(again), name)
	}
	t.Logf("%d pieces", len(pieces))
}

// firstMeasure brackets the first measure that has notes.
func firstMeasure(p *piece.Piece) []export.Bracket {
	for i := range p.Measures {
		if n := len(p.Measures[i].Notes); n > 0 {
			return []export.Bracket{{From: piece.At{Measure: i}, To: piece.At{Measure: i, Note: n - 1}}}
		}
	}
	return nil
}

func TestAWrittenPieceIsValidMusicXML(t *testing.T) {
	schema := scoretest.NewSchema(t)
	files := map[string][]byte{}
	for name, p := range scoretest.Readable(t) {
		files[name], _ = written(t, p, export.Options{Brackets: firstMeasure(p), Sections: []export.Section{{Measure: 0, Name: "1"}}})
	}
	assert.Empty(t, schema.Invalid(t, files))
	wrong := map[string][]byte{"invalid": []byte(`<score-partwise version="4.0"><part/></score-partwise>`)}
	assert.Contains(t, schema.Invalid(t, wrong), "invalid", "a file that is not valid is found out")
}

func TestWhatATeacherPencilsInIsWritten(t *testing.T) {
	p := fixture(t, "two_places.musicxml")
	n := &p.Measures[0].Notes[0]
	for _, token := range []string{"half", "1", "2", "2-3", "3", "3-4", "4", "5", "5-6", "6", "6-7", "7", "thumb"} {
		n.Marks = piece.Marks{Finger: "T", String: 3, Position: token, Bow: piece.Up, Harmonic: true, Open: true}
		_, again := written(t, p, export.Options{})
		assert.Equal(t, n.Marks, again.Measures[0].Notes[0].Marks)
	}
}

func TestBracketsAndSectionsAreDrawnAndChangeNoNote(t *testing.T) {
	p := fixture(t, "low_tide.abc")
	file, again := written(t, p, export.Options{Brackets: firstMeasure(p), Sections: []export.Section{{Measure: 4, Name: "2"}}})
	assert.Equal(t, 1, bytes.Count(file, []byte(`<bracket type="start"`)))
	assert.Equal(t, 1, bytes.Count(file, []byte(`<bracket type="stop"`)))
	assert.Equal(t, "2", again.Measures[4].Rehearsal)
	again.Measures[4].Rehearsal = ""
	assert.Equal(t, scoretest.Told(p), scoretest.Told(again))

	p.Measures[0].Rehearsal = "A"
	file, again = written(t, p, export.Options{Sections: []export.Section{{Measure: 4, Name: "II"}}})
	assert.Contains(t, string(file), "<words>section II</words>", "a teacher's own marks stand")
	assert.Equal(t, []piece.Text{{Says: "section II"}}, again.Measures[4].Texts)
	again.Measures[4].Texts = nil
	assert.Equal(t, scoretest.Told(p), scoretest.Told(again))
}

// What can be read and written can be read again.
func FuzzWrite(f *testing.F) {
	for _, data := range scoretest.Files(f, "testdata/pieces/*.musicxml") {
		f.Add(data)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := notation.Read("x", data)
		if err != nil {
			return
		}
		var b bytes.Buffer
		if err := export.MusicXML(&b, p, export.Options{}); err != nil {
			return
		}
		if _, err := notation.Read("written", b.Bytes()); err != nil {
			t.Fatalf("%v\n%s", err, b.Bytes())
		}
	})
}
