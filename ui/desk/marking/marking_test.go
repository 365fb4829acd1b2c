package marking

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece"
	"endpin/piece/notation"
	"endpin/piece/pencil"
	"endpin/piece/words"
	"endpin/ui/desk/score"
)

// table is a desk of nothing but its page: four notes a measure, then two with a rest between,
// a measure of rests, and one long note.
type table struct {
	score  *score.Score
	posted chan func()
	says   string
	busy   bool
	kept   int
}

const tune = "X:1\nT:Steps\nM:4/4\nL:1/4\nK:C clef=bass\nC,D,E,F,|G,zA,z|z4|C,4|]\n"

func (h *table) Post(f func())       { h.posted <- f }
func (h *table) Changed()            {}
func (h *table) Say(s string)        { h.says = s }
func (h *table) Fault(s string)      { h.Say(s) }
func (h *table) Score() *score.Score { return h.score }
func (h *table) Busy(deed string) bool {
	if h.busy {
		h.says = words.Say("desk.busy.playing." + deed)
	}
	return h.busy
}
func (h *table) Lay(s *score.Score, _ piece.At) { h.score = s }
func (h *table) Kept(s *score.Score)            { h.score = s; h.kept++ }

func open(s *score.Score) (*pencil.Pencil, error) {
	data, err := os.ReadFile(s.File)
	if err != nil {
		return nil, err
	}
	return pencil.Open(s.File, data)
}

// inHand is the pencil over that tune, taken up at a measure.
func inHand(t *testing.T, measure int) (*table, *Marking) {
	t.Helper()
	file := filepath.Join(t.TempDir(), "steps.abc")
	require.NoError(t, os.WriteFile(file, []byte(tune), 0o600))
	h := &table{score: read(t, file), posted: make(chan func(), 10)}
	m := New(h, open)
	m.TakeUp(measure)
	(<-h.posted)()
	return h, m
}

func read(t *testing.T, file string) *score.Score {
	t.Helper()
	data, err := os.ReadFile(file)
	require.NoError(t, err)
	p, err := notation.Read(file, data)
	require.NoError(t, err)
	return score.New(p, file)
}

func TestThePencilBeginsAtTheFirstNoteThatSounds(t *testing.T) {
	_, m := inHand(t, 1)
	require.True(t, m.On)
	assert.Equal(t, "G", m.Note().Step)
	_, m = inHand(t, 2)
	assert.Equal(t, 3, m.At.Measure, "from a measure of rests it goes on to the next note")
	_, m = inHand(t, 99)
	assert.Equal(t, 3, m.At.Measure)
}

func TestRestsArePassedOverAndCountForNothing(t *testing.T) {
	_, m := inHand(t, 1)
	m.Next(1)
	assert.Equal(t, []any{"A", 2}, []any{m.Note().Step, m.Nth()}, "the second note, whatever rests stand before it")
	m.Next(1)
	assert.Equal(t, []any{"C", 3}, []any{m.Note().Step, m.At.Measure}, "over the measure of rests")
	m.Next(-1)
	assert.Equal(t, "A", m.Note().Step)
	assert.True(t, m.Press(1, 1), "a press on a rest")
	assert.Nil(t, m.Note())
	assert.Equal(t, "2", m.Measure().Number, "means its measure")
	m.Press(2, -1)
	m.Turn()
	assert.Nil(t, m.Note(), "a measure of rests has no note to turn to")
}

func TestBowsGoRoundAndPositionsEndAtTheNut(t *testing.T) {
	_, m := inHand(t, 0)
	var bows []piece.Bow
	for range 4 {
		m.NextBow()
		bows = append(bows, m.Note().Marks.Bow)
	}
	assert.Equal(t, []piece.Bow{piece.Down, piece.Up, piece.NoBow, piece.Down}, bows)
	m.Higher(-1)
	assert.Empty(t, m.Note().Marks.Position)
	for range len(m.Positions()) + 3 {
		m.Higher(1)
	}
	assert.Equal(t, m.Positions()[len(m.Positions())-1], m.Note().Marks.Position, "the highest is the last")
	assert.Equal(t, piece.Down, m.Note().Marks.Bow, "and the bow stays")
}

func TestAMarkThatIsSetAgainIsTakenAway(t *testing.T) {
	_, m := inHand(t, 0)
	for _, set := range []func(){func() { m.Finger("4") }, func() { m.String(2) }, func() { m.Position("1") }, func() { m.Bow(piece.Up) }} {
		set()
		assert.NotEqual(t, piece.Marks{}, m.Note().Marks)
		set()
		assert.Equal(t, piece.Marks{}, m.Note().Marks)
	}
	m.Finger("4")
	m.Finger("1")
	assert.Equal(t, "1", m.Note().Marks.Finger, "another takes its place")
	m.Press(0, -1)
	m.RepeatEnd()
	assert.True(t, m.Signs().RepeatEnd)
	m.RubOut()
	assert.Equal(t, notation.Signs{}, m.Signs())
}

func TestKeysThatMarkNothingAreLeftAlone(t *testing.T) {
	_, m := inHand(t, 0)
	assert.False(t, m.Key("x"))
	assert.True(t, m.Key("T") == false && m.Key("t"), "t is the thumb, T nothing")
	assert.Equal(t, "T", m.Note().Marks.Finger)
	m.Turn()
	assert.False(t, m.Key("4"), "a measure has no finger")
	m.PutAway()
	assert.False(t, m.Key("4"))
	m.Finger("2")
	m.RepeatEnd()
	assert.Equal(t, []any{"T", false}, []any{m.piece().Measures[0].Notes[0].Marks.Finger, m.Signs().RepeatEnd}, "without the pencil nothing is marked")
}

func TestThePencilStaysOnTheTableWhileSomebodyPlaysAndWhereTheFileIsGone(t *testing.T) {
	file := filepath.Join(t.TempDir(), "steps.abc")
	require.NoError(t, os.WriteFile(file, []byte(tune), 0o600))
	h := &table{score: read(t, file), posted: make(chan func(), 10), busy: true}
	m := New(h, open)
	m.TakeUp(0)
	assert.Equal(t, "Stop playing first, then take up the pencil.", h.says)
	h.busy = false
	require.NoError(t, os.Remove(file))
	m.TakeUp(0)
	(<-h.posted)()
	assert.False(t, m.On)
	assert.Contains(t, h.says, "steps.abc")
	m = New(h, nil)
	m.TakeUp(0)
	assert.False(t, m.On, "nothing opens files here")
}

func TestAnotherPieceLaidMeanwhileIsNotMarkedInItsPlace(t *testing.T) {
	file := filepath.Join(t.TempDir(), "steps.abc")
	require.NoError(t, os.WriteFile(file, []byte(tune), 0o600))
	h := &table{score: read(t, file), posted: make(chan func(), 10)}
	m := New(h, open)
	m.TakeUp(0)
	h.score = &score.Score{Piece: h.score.Piece, File: "other.abc"}
	(<-h.posted)()
	assert.False(t, m.On)
}

// What is taken elsewhere goes with the marks into what is written, and not into the file.
func TestWhatIsWrittenHoldsTheMarksAndTheFingeringTaken(t *testing.T) {
	h, m := inHand(t, 0)
	none, err := m.Marked(nil)()
	require.NoError(t, err)
	assert.Nil(t, none.File, "it is as it lies on disk")
	m.Finger("2")
	written := m.Marked(map[piece.At]piece.Marks{{Measure: 1}: {Finger: "4", String: 2, Position: "half"}})
	m.Undo()
	marked, err := written()
	require.NoError(t, err)
	assert.True(t, marked.Alone, "of ABC a copy with the one part")
	p, err := notation.Read("written", marked.File)
	require.NoError(t, err)
	assert.Equal(t, "2", p.Measures[0].Notes[0].Marks.Finger, "as it was when that was asked")
	assert.Equal(t, "4", p.Measures[1].Notes[0].Marks.Finger)
	assert.Equal(t, piece.Marks{}, h.score.Piece.Measures[1].Notes[0].Marks, "the page is as it was")
	assert.Equal(t, tune, readFile(t, h.score.File))
	_, err = m.Marked(map[piece.At]piece.Marks{{Measure: 77}: {Finger: "4"}})()
	assert.Error(t, err)
}

func readFile(t *testing.T, file string) string {
	t.Helper()
	data, err := os.ReadFile(file)
	require.NoError(t, err)
	return string(data)
}

func TestMarksThatCannotBeKeptAreSaidAndStay(t *testing.T) {
	h, m := inHand(t, 0)
	m.Finger("2")
	folder := filepath.Join(t.TempDir(), "file")
	require.NoError(t, os.WriteFile(folder, nil, 0o600))
	m.Keep(filepath.Join(folder, "steps marked.musicxml"))
	assert.Contains(t, h.says, "steps marked.musicxml")
	assert.Zero(t, h.kept)
	assert.Equal(t, []string{"Steps"}, m.Unkept())
	assert.False(t, m.Goes(), "into ABC no mark goes")
	name, in := m.Copy()
	m.Keep(filepath.Join(in, name))
	assert.Equal(t, 1, h.kept)
	assert.Empty(t, m.Unkept())
	assert.True(t, m.Goes(), "into the copy it does")
}
