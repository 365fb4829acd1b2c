package pencil_test

import (
	"archive/zip"
	"bytes"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/assets"
	"endpin/piece"
	"endpin/piece/notation"
	"endpin/piece/pencil"
	"endpin/piece/words/pseudo"
)

func opened(t *testing.T) *pencil.Pencil {
	t.Helper()
	p, err := pencil.Open("demo.musicxml", assets.DemoPiece)
	require.NoError(t, err)
	return p
}

var bass = []string{"G", "D", "A", "E"}

func TestMarksAreUndoneAndDoneAgainToTheByte(t *testing.T) {
	p := opened(t)
	first := piece.At{Measure: 4, Note: 2}
	require.NoError(t, p.Note(first, piece.Marks{Finger: "1", String: 3, Bow: piece.Up}))
	one := string(p.Bytes())
	assert.Equal(t, piece.Up, p.Piece.Measures[4].Notes[2].Marks.Bow)
	require.NoError(t, p.Measure(8, notation.Signs{Rehearsal: "B"}))
	two := string(p.Bytes())
	assert.Equal(t, "B", p.Piece.Measures[8].Rehearsal)
	assert.True(t, p.Undo())
	assert.Equal(t, one, string(p.Bytes()))
	assert.Empty(t, p.Piece.Measures[8].Rehearsal)
	assert.True(t, p.Undo())
	assert.Equal(t, string(assets.DemoPiece), string(p.Bytes()))
	assert.False(t, p.Undo())
	assert.True(t, p.Redo())
	assert.True(t, p.Redo())
	assert.Equal(t, two, string(p.Bytes()))
	assert.False(t, p.Redo())
	assert.True(t, p.Undo())
	require.NoError(t, p.Note(first, piece.Marks{}))
	assert.False(t, p.Redo(), "a new mark ends what was undone")
	was := string(p.Bytes())
	require.NoError(t, p.Note(first, piece.Marks{}))
	assert.Equal(t, was, string(p.Bytes()))
	require.Error(t, p.Note(piece.At{Measure: 99}, piece.Marks{}))
	assert.True(t, p.Undo(), "what could not be done is nothing to undo, nor is what changed nothing")
	assert.Equal(t, one, string(p.Bytes()))
}

func TestMarksAreTyped(t *testing.T) {
	p := opened(t)
	for _, mark := range []string{"5.3 4 D III up", "9 section Second time", "9 repeat-start", "12 repeat-end", "9 text Sing it first", "1.1 half down", "1.2 thumb T"} {
		require.NoError(t, p.Typed(mark, bass), mark)
	}
	assert.Equal(t, piece.Marks{Finger: "4", String: 2, Position: "3", Bow: piece.Up}, p.Piece.Measures[4].Notes[2].Marks)
	assert.Equal(t, "Second time", p.Piece.Measures[8].Rehearsal)
	assert.True(t, p.Piece.Measures[8].RepeatStart)
	assert.Equal(t, "Sing it first", p.Piece.Measures[8].Texts[0].Says)
	assert.Equal(t, 2, p.Piece.Measures[11].RepeatTimes)
	assert.Equal(t, "half", p.Piece.Measures[0].Notes[0].Marks.Position)
	assert.Equal(t, []string{"T", "thumb"}, []string{p.Piece.Measures[0].Notes[1].Marks.Finger, p.Piece.Measures[0].Notes[1].Marks.Position})
	for _, mark := range []string{"5.3 no finger no string no position no bow", "9 no section", "9 no repeat-start", "12 no repeat-end", "9 no text"} {
		require.NoError(t, p.Typed(mark, bass), mark)
	}
	assert.Equal(t, piece.Marks{}, p.Piece.Measures[4].Notes[2].Marks)
	assert.Equal(t, notation.Signs{}, notation.SignsOf(&p.Piece.Measures[8]))
	defer pseudo.Speak()()
	for _, mark := range []string{"", "5", "5.3", "5.3 9", "5.3 no", "5.3 no thing", "5.99 4", "5.x 4", "99 section A", "9 section", "9 text", "9 sing", "9 no"} {
		err := p.Typed(mark, bass)
		require.Error(t, err, mark)
		assert.NotEmpty(t, err.Error())
	}
}

func TestWhatIsNoMusicXMLIsMarkedInACopy(t *testing.T) {
	data, err := os.ReadFile("../../testdata/pieces/lantern_row.abc")
	require.NoError(t, err)
	p, err := pencil.Open("lantern_row.abc", data)
	require.NoError(t, err)
	assert.True(t, p.Copied())
	require.NoError(t, p.Typed("1.1 4 up", bass))
	again, err := notation.Read("copy", p.Bytes())
	require.NoError(t, err)
	assert.Equal(t, piece.Marks{Finger: "4", Bow: piece.Up}, again.Measures[0].Notes[0].Marks)
}

// A second voice's sign is not the note's own: it is not taken away at it.
func TestAMarkThatStandsElsewhereInTheFileIsSaid(t *testing.T) {
	p := opened(t)
	file := bytes.Replace(p.Bytes(), []byte("<note>"), []byte(`<sound forward-repeat="yes"/><note>`), 1)
	x, err := pencil.Open("x", file)
	require.NoError(t, err)
	require.True(t, x.Piece.Measures[0].RepeatStart)
	require.ErrorContains(t, x.Measure(0, notation.Signs{}), "in another way")
	assert.Equal(t, string(file), string(x.Bytes()))
}

// A line that is more than to be read is obeyed.
func TestALineOfTextThatIsAnInstructionIsObeyed(t *testing.T) {
	p := opened(t)
	require.NoError(t, p.Measure(4, notation.Signs{Text: "pizz."}))
	assert.True(t, p.Piece.Measures[4].Notes[0].Articulated.Pizz)
	assert.True(t, p.Undo())
	assert.False(t, p.Piece.Measures[4].Notes[0].Articulated.Pizz)
}

// A score of two parts in a compressed file: the bass plays below, the other part is asked for.
func TestInACompressedScoreThePartThatIsAskedForIsMarked(t *testing.T) {
	part := func(id, step string) string {
		return `<part id="` + id + `"><measure number="1"><attributes><divisions>1</divisions><time><beats>1</beats><beat-type>4</beat-type></time></attributes><note><pitch><step>` +
			step + `</step><octave>3</octave></pitch><duration>1</duration><type>quarter</type></note></measure></part>`
	}
	score := `<?xml version="1.0" encoding="UTF-8"?><score-partwise version="4.0"><part-list><score-part id="P1"><part-name>Cello</part-name></score-part><score-part id="P2"><part-name>Double Bass</part-name></score-part></part-list>` +
		part("P1", "C") + part("P2", "G") + `</score-partwise>`
	var packed bytes.Buffer
	z := zip.NewWriter(&packed)
	f, err := z.Create("score.xml")
	require.NoError(t, err)
	_, err = f.Write([]byte(score))
	require.NoError(t, err)
	require.NoError(t, z.Close())

	p, err := pencil.Open("duo.mxl", packed.Bytes(), notation.Part("Cello"))
	require.NoError(t, err)
	assert.True(t, p.Copied())
	assert.Equal(t, "C", p.Piece.Measures[0].Notes[0].Step)
	require.NoError(t, p.Note(piece.At{}, piece.Marks{Bow: piece.Up}))
	for name, bow := range map[string]piece.Bow{"Cello": piece.Up, "Double Bass": piece.NoBow} {
		again, err := notation.Read("copy", p.Bytes(), notation.Part(name))
		require.NoError(t, err)
		assert.Equal(t, bow, again.Measures[0].Notes[0].Marks.Bow, name)
	}
}
