package desk

import (
	"bytes"
	"io"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/assets"
	"endpin/piece"
	"endpin/piece/export"
	"endpin/piece/homework"
	"endpin/piece/notation"
	"endpin/piece/pencil"
	"endpin/ui/desk/assigned"
	"endpin/ui/desk/marking"
	"endpin/ui/desk/pieces"
	"endpin/ui/desk/score"
)

// pencilled is a desk with the demo's piece in a file of its own, and the pencil taken up.
func pencilled(t *testing.T, name string, data []byte) (d *Desk, file string) {
	t.Helper()
	posted := make(chan func(), 100)
	file = filepath.Join(t.TempDir(), name)
	require.NoError(t, os.WriteFile(file, data, 0o600))
	read := func(path, _, _ string) (*score.Score, error) {
		data, err := os.ReadFile(path)
		if err != nil {
			return nil, err
		}
		p, err := notation.Read(path, data)
		if err != nil {
			return nil, err
		}
		return score.New(p, path), nil
	}
	s, err := read(file, "", "")
	require.NoError(t, err)
	d = New(s, Means{Post: func(f func()) { posted <- f }, Folder: t.TempDir(),
		Pieces: pieces.Means{Folder: t.TempDir(), Read: read},
		Homework: assigned.Means{WriteHomework: func(to io.Writer, _ string, marked []byte, _ homework.Homework, _ string) error {
			_, err := to.Write(marked) // of it the piece alone
			return err
		}},
		Pencil: func(s *score.Score) (*pencil.Pencil, error) {
			data, err := os.ReadFile(s.File)
			if err != nil {
				return nil, err
			}
			return pencil.Open(s.File, data)
		}})
	d.Pencil.TakeUp(4)
	for end := time.After(10 * time.Second); !d.Pencil.On && d.Message == ""; {
		select {
		case f := <-posted:
			f()
		case <-end:
			t.Fatal("the pencil was not taken up")
		}
	}
	return d, file
}

// bare is the demo piece without a mark.
func bare(t *testing.T) []byte {
	t.Helper()
	p, err := notation.Read("demo.musicxml", assets.DemoPiece)
	require.NoError(t, err)
	for i := range p.Measures {
		for k := range p.Measures[i].Notes {
			p.Measures[i].Notes[k].Marks = piece.Marks{}
		}
	}
	var b bytes.Buffer
	require.NoError(t, export.MusicXML(&b, p, export.Options{}))
	return b.Bytes()
}

func keys(d *Desk, all ...marking.Key) {
	for _, k := range all {
		d.Pencil.Key(k)
	}
}

func TestANoteIsMarkedByKeysAndThePageShowsItAtOnce(t *testing.T) {
	d, _ := pencilled(t, "demo.musicxml", bare(t))
	assert.Equal(t, piece.At{Measure: 4, Note: 0}, d.Pencil.At)
	keys(d, marking.Right, "4", "d", "w", "w", marking.Up, marking.Up, marking.Up)
	assert.Equal(t, piece.Marks{Finger: "4", String: 2, Bow: piece.Up, Position: "2"}, d.Score.Piece.Measures[4].Notes[1].Marks)
	assert.True(t, d.Pencil.UnkeptHere())
	var fingered bool
	for i, e := range d.Score.Line {
		if e.Measure == 4 && e.Note == 1 {
			fingered = d.Score.Plan.Notes[i].String == 2
		}
	}
	assert.True(t, fingered, "the plan obeys the pencil")
	keys(d, "4", marking.Down, marking.Down, marking.Down)
	assert.Equal(t, piece.Marks{String: 2, Bow: piece.Up}, d.Score.Piece.Measures[4].Notes[1].Marks, "the same again takes it away")
	keys(d, marking.Backspace)
	assert.Equal(t, piece.Marks{}, d.Score.Piece.Measures[4].Notes[1].Marks)
	assert.False(t, d.Pencil.UnkeptHere(), "all is as it was, to the byte")
	d.Pencil.Undo()
	assert.Equal(t, piece.Up, d.Score.Piece.Measures[4].Notes[1].Marks.Bow)
	d.Pencil.Redo()
	assert.Equal(t, piece.Marks{}, d.Score.Piece.Measures[4].Notes[1].Marks)
}

func TestTheChoiceGoesFromNoteToNoteOverBarLinesAndToTheMeasure(t *testing.T) {
	d, _ := pencilled(t, "demo.musicxml", bare(t))
	n := len(d.Score.Piece.Measures[4].Notes)
	for range n {
		keys(d, marking.Right)
	}
	assert.Equal(t, piece.At{Measure: 5, Note: 0}, d.Pencil.At)
	keys(d, marking.Left)
	assert.Equal(t, piece.At{Measure: 4, Note: n - 1}, d.Pencil.At)
	keys(d, marking.Tab, marking.Left)
	assert.Equal(t, piece.At{Measure: 3, Note: -1}, d.Pencil.At)
	keys(d, marking.Left, marking.Left, marking.Left, marking.Left, marking.Tab, marking.Left)
	assert.Equal(t, piece.At{}, d.Pencil.At, "no farther than the piece")
	assert.True(t, d.Pencil.Press(15, 0))
	keys(d, marking.Right, marking.Right)
	assert.Equal(t, 15, d.Pencil.At.Measure)
	keys(d, marking.Escape)
	assert.False(t, d.Pencil.On)
	assert.False(t, d.Pencil.Press(1, 1), "without the pencil a press is another's")
}

func TestARepeatIsPlayedAtOnceAndThePencilStaysInTheHand(t *testing.T) {
	d, _ := pencilled(t, "demo.musicxml", bare(t))
	was, played := d.Score.Content, len(d.Score.Played)
	d.Pencil.Press(8, -1)
	keys(d, "b")
	d.Pencil.Press(11, -1)
	keys(d, "e")
	assert.Equal(t, played+4, len(d.Score.Played))
	assert.NotEqual(t, was, d.Score.Content)
	assert.True(t, d.Pencil.On)
	d.Pencil.Sign(func(s *notation.Signs) { s.Rehearsal, s.Text = "B", "Sing it first" })
	assert.Equal(t, "Sing it first", d.Pencil.Signs().Text)
	d.Pencil.Undo()
	d.Pencil.Undo()
	d.Pencil.Undo()
	assert.Equal(t, was, d.Score.Content)
	assert.True(t, d.Pencil.On)
	keys(d, "b")
	assert.True(t, d.Pencil.Signs().RepeatStart, "and marks on")
}

func TestMarksGoIntoACopyOrIntoTheFileAndNeverOverWhatAnotherWrote(t *testing.T) {
	d, file := pencilled(t, "demo.musicxml", bare(t))
	keys(d, "4")
	name, folder := d.Pencil.Copy()
	assert.Equal(t, "demo marked.musicxml", name)
	assert.Equal(t, filepath.Dir(file), folder)
	copied := filepath.Join(folder, name)
	d.Pencil.Keep(copied)
	assert.Equal(t, "The marks are kept in demo marked.musicxml.", d.Message)
	is, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, string(bare(t)), string(is))
	assert.Equal(t, copied, d.Score.File, "the copy lies on the desk")
	assert.False(t, d.Pencil.UnkeptHere())
	assert.Equal(t, copied, d.Pieces.List()[0].File(), "and stands on the shelf")

	keys(d, marking.Right, "1")
	require.True(t, d.Pencil.Goes())
	d.Pencil.KeepInFile()
	p, err := notation.Read(copied, readFile(t, copied))
	require.NoError(t, err)
	assert.Equal(t, []string{"4", "1"}, []string{p.Measures[4].Notes[0].Marks.Finger, p.Measures[4].Notes[1].Marks.Finger})

	keys(d, marking.Right, "2")
	other := append(readFile(t, copied), ' ')
	require.NoError(t, os.WriteFile(copied, other, 0o600))
	d.Pencil.KeepInFile()
	assert.Contains(t, d.Message, "was changed by another program")
	assert.Equal(t, other, readFile(t, copied))
	assert.Equal(t, []string{"Stairs to the Loft"}, d.Pencil.Unkept())
}

func readFile(t *testing.T, path string) []byte {
	t.Helper()
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	return data
}

func TestWhatWasNotKeptIsThereWhenThePieceComesBack(t *testing.T) {
	d, file := pencilled(t, "demo.musicxml", bare(t))
	keys(d, "4")
	again, err := notation.Read(file, bare(t))
	require.NoError(t, err)
	other, err := notation.Read("x.abc", []byte("X:1\nT:Other\nL:1/4\nK:C clef=bass\nC,D,E,F,|]\n"))
	require.NoError(t, err)
	d.Put(score.New(other, "x.abc"))
	assert.False(t, d.Pencil.On)
	d.Put(score.New(again, file))
	assert.Equal(t, "4", d.Score.Piece.Measures[4].Notes[0].Marks.Finger)
}

func TestOfABCTheMarksGoIntoACopyAlone(t *testing.T) {
	d, file := pencilled(t, "tune.abc", []byte("X:1\nT:Tune\nL:1/4\nK:C clef=bass\nC,D,E,F,|G,4|A,4|B,4|C4|]\n"))
	keys(d, "0")
	assert.False(t, d.Pencil.Goes())
	d.Pencil.KeepInFile()
	name, folder := d.Pencil.Copy()
	d.Pencil.Keep(filepath.Join(folder, name))
	p, err := notation.Read(name, readFile(t, filepath.Join(folder, name)))
	require.NoError(t, err)
	assert.Equal(t, "0", p.Measures[4].Notes[0].Marks.Finger)
	assert.Contains(t, string(readFile(t, file)), "X:1")
}

// twoWays is a tune of which two fingerings lie as near.
const twoWays = "X:1\nT:A line\nM:4/4\nL:1/4\nQ:1/4=80\nK:C clef=bass\nG,A,B,C|B,2A,2|G,F,E,D,|C,4|\n"

// A fingering that was taken by a press travels with homework, beside marks that are kept
// nowhere yet; into the file it does not go.
func TestHomeworkCarriesTheFingeringThatWasTakenAndTheMarksNotKept(t *testing.T) {
	for _, name := range []string{"line.abc", "line.musicxml"} {
		data := []byte(twoWays)
		if name != "line.abc" {
			p, err := notation.Read("line.abc", data)
			require.NoError(t, err)
			var b bytes.Buffer
			require.NoError(t, export.MusicXML(&b, p, export.Options{}))
			data = b.Bytes()
		}
		d, file := pencilled(t, name, data)
		made := func(name string) *score.Score {
			path := filepath.Join(t.TempDir(), name+".endpin")
			d.WriteHomework(path, d.AsHomework(), "")
			require.Eventually(t, func() bool { _, err := os.Stat(path); return err == nil }, 10*time.Second, 10*time.Millisecond, d.Message)
			p, err := notation.Read(name, readFile(t, path))
			require.NoError(t, err)
			return score.New(p, name)
		}
		d.TakeFingering(d.OtherFingerings()[0])
		require.True(t, d.Fingered())
		taken := made("taken")
		assert.Equal(t, stops(d.Score), stops(taken))
		d.Pencil.Press(3, 0)
		keys(d, "w")
		both := made("both")
		assert.Equal(t, piece.Down, both.Piece.Measures[3].Notes[0].Marks.Bow)
		assert.Equal(t, stops(d.Score), stops(both))
		assert.Equal(t, data, readFile(t, file))
		d.OwnFingering()
		assert.NotEqual(t, stops(taken), stops(made("own")))
	}
}
