package desk

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece"
	"endpin/piece/fingerboard"
	"endpin/piece/notation"
	"endpin/ui/desk/fingering"
	"endpin/ui/desk/score"
)

// writtenFingered is the piece as a desk writes it into a file, which it says on the goroutine that
// what is posted is done on.
func writtenFingered(t *testing.T, d *Desk, file string, posted <-chan func()) *piece.Piece {
	d.WriteFingered(file)
	for !strings.Contains(d.Message, file) {
		(<-posted)()
	}
	data, err := os.ReadFile(file)
	require.NoError(t, err)
	p, err := notation.Read(file, data)
	require.NoError(t, err)
	return p
}

func TestAnotherFingeringIsTakenKeptAndWritten(t *testing.T) {
	const tune = "X:1\nT:Test\nM:4/4\nL:1/4\nQ:1/4=80\nK:C clef=bass\nG,A,B,C|B,2A,2|G,F,E,D,|C,4|\n"
	folder, posted := t.TempDir(), make(chan func(), 16)
	open := func() *Desk {
		p, err := notation.Read("tune.abc", []byte(tune))
		require.NoError(t, err)
		return New(score.New(p, "tune.abc"), Means{Post: func(f func()) { posted <- f }, Folder: folder, Settings: filepath.Join(folder, "desk.json")})
	}
	d := open()
	own := d.Score
	assert.False(t, d.Fingered())
	other := d.OtherFingerings()[0]
	d.TakeFingering(other)
	require.True(t, d.Fingered())
	assert.Equal(t, "Measure 1 is fingered so now, here and where it comes again, and whenever you open this piece.", d.Message)
	var marks []piece.Marks
	for _, e := range d.Score.Line {
		marks = append(marks, e.Marks)
	}
	var fingers, planned []string
	for i, k := range marks {
		if k.Finger != "" {
			fingers, planned = append(fingers, k.Finger+" "+k.Position), append(planned, d.Score.Plan.Notes[i].Finger+" "+d.Score.Plan.Notes[i].Position)
		}
	}
	require.NotEmpty(t, fingers)
	assert.Equal(t, fingers, planned, "played as it was taken")
	assert.NotContains(t, d.OtherFingerings(), other)

	again := open()
	require.True(t, again.Fingered(), "it is there when the piece is opened again")
	assert.Equal(t, stops(d.Score), stops(again.Score))

	file := filepath.Join(folder, "tune.musicxml")
	p := writtenFingered(t, again, file, posted)
	assert.Equal(t, stops(d.Score), stops(score.New(p, file)), "and in the file")

	again.OwnFingering()
	assert.False(t, again.Fingered())
	assert.Equal(t, stops(own), stops(again.Score))
	assert.False(t, open().Fingered())
}

func TestASchoolOfFingeringIsTakenForThePieceAndKept(t *testing.T) {
	folder, posted := t.TempDir(), make(chan func(), 16)
	read := func(name, word string) *score.Score {
		p, err := notation.Read(name, []byte("X:1\nT:Test\nM:4/4\nL:1/4\nQ:1/4=80\nK:C clef=bass\nB,C_DC|B,CDE|D2C2|B,4|\n"))
		require.NoError(t, err)
		for _, in := range fingerboard.Instruments() {
			if in.Word == word {
				return score.For(p, name, in)
			}
		}
		t.Fatal(word)
		return nil
	}
	open := func() *Desk {
		return New(read("tune.abc", "bass"), Means{Post: func(f func()) { posted <- f }, Folder: folder, Settings: filepath.Join(folder, "desk.json")})
	}
	d := open()
	own := stops(d.Score)
	all, now := d.Schools()
	require.Equal(t, "1-2-4", all[now].Name)
	four := slices.IndexFunc(all, func(s fingerboard.School) bool { return s.Name == "four-fingers" })
	d.TakeSchool(all[four])
	assert.NotEqual(t, own, stops(d.Score))
	assert.True(t, d.Fingered())
	for _, other := range d.OtherFingerings() {
		d.TakeFingering(other) // a note taken otherwise leaves the school
		break
	}
	d.TakeSchool(all[four])

	again := open()
	assert.Equal(t, stops(d.Score), stops(again.Score), "it is there when the piece is opened again")
	_, now = again.Schools()
	assert.Equal(t, four, now)
	file := filepath.Join(folder, "tune.musicxml")
	p := writtenFingered(t, again, file, posted)
	assert.Equal(t, "four-fingers", p.School, "and in the file")

	again.OwnFingering()
	assert.Equal(t, own, stops(open().Score))
	for _, word := range []string{"cello", "bass-pivots"} {
		d := New(read("tune.abc", word), Means{Post: func(f func()) { f() }, Folder: t.TempDir()})
		all, _ := d.Schools()
		assert.Empty(t, all, "%s has none to choose from", word)
	}
}

// stops are position, string and finger of each note.
func stops(s *score.Score) (all []string) {
	for _, f := range s.Plan.Notes {
		all = append(all, fmt.Sprint(f.Position, " ", f.String, " ", f.Finger))
	}
	return all
}

func TestFingersForMeasuresThatAreNotThereAreLeftOut(t *testing.T) {
	p, err := notation.Read("tune.abc", []byte("X:1\nM:4/4\nL:1/4\nK:C clef=bass\nC,D,E,F,|\n"))
	require.NoError(t, err)
	s := score.New(p, "tune.abc")
	assert.Same(t, s, fingering.On(s, fingering.Way{Marks: []fingering.Mark{{Measure: -1}, {Measure: 1}, {Measure: 0, Note: 4}}}))
}
