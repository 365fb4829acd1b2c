package timetable

import (
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece"
	"endpin/piece/notation"
	"endpin/piece/outline"
	"endpin/ui/desk/score"
	"endpin/ui/desk/work"
)

// A tune of our own: an upbeat-free start, a slur, a rest and a shift that its
// marks ask for; the bow is marked once, where the slur begins.
const bowed = `X:1
T:Ladder to the Hay
M:4/4
L:1/4
Q:1/4=60
K:C clef=bass
C, D, E, F, | !downbow!(G, A,) z B, | !downbow!C2 D2 |]
`

func cuesOf(t *testing.T, text string, w work.Work) (*score.Score, *Timetable, Cues) {
	t.Helper()
	p, err := notation.Read("ladder.abc", []byte(text))
	require.NoError(t, err)
	s := score.New(p, "ladder.abc")
	w.Last = len(p.Measures) - 1
	o, err := outline.Of(p, outline.Options{})
	require.NoError(t, err)
	table := New(s, w)
	return s, table, table.Cues(s, o)
}

func TestTheCuesTellBowFingerAndStringOfEachNote(t *testing.T) {
	s, table, cues := cuesOf(t, bowed, work.Work{Way: work.BowSilently, QPM: 60, CountIn: 1})
	require.Len(t, cues, 9)
	assert.Equal(t, table.Start, cues[0].At)
	var bows []piece.Bow
	for _, c := range cues {
		bows = append(bows, c.Bow)
	}
	d, u := piece.Down, piece.Up
	// Bows alternate, the slur keeps its bow, a mark is obeyed, and the bow is free
	// after the rest: B comes up, so that the marked C comes down.
	assert.Equal(t, []piece.Bow{d, u, d, u, d, d, u, d, u}, bows)
	assert.True(t, cues[0].Supposed, "no mark stands before it")
	assert.False(t, cues[4].Supposed, "here the page says so")
	assert.False(t, cues[8].Supposed, "and what follows, follows from it")
	assert.False(t, cues[4].Held)
	assert.True(t, cues[5].Held, "slurred")
	for i, c := range cues {
		f := s.Plan.Notes[c.Note]
		assert.Equal(t, f.Finger, c.Finger, "note %d: as on the page", i)
		assert.Equal(t, f.Open, c.Open)
	}
}

func TestAPluckedNoteHasNoBow(t *testing.T) {
	data, err := os.ReadFile("../../../testdata/pieces/ferry_bell.musicxml") // plucked in measures 5 and 6
	require.NoError(t, err)
	p, err := notation.Read("ferry_bell.musicxml", data)
	require.NoError(t, err)
	s := score.New(p, "ferry_bell.musicxml")
	o, err := outline.Of(p, outline.Options{})
	require.NoError(t, err)
	for _, c := range New(s, work.Work{Way: work.BowSilently, QPM: 84, Last: 11}).Cues(s, o) {
		m := s.Line[c.Note].Measure
		assert.Equal(t, m == 4 || m == 5, c.Pizz, "measure %d", m+1)
		assert.Equal(t, c.Pizz, c.Bow == piece.NoBow, "measure %d", m+1)
	}
}

func TestNowAndNextFollowTheTimetable(t *testing.T) {
	_, _, cues := cuesOf(t, bowed, work.Work{Way: work.BowSilently, QPM: 60, CountIn: 1})
	note := func(c *Cue) int {
		if c == nil {
			return -1
		}
		return c.Note
	}
	for _, c := range []struct {
		at        float64
		now, next int
	}{
		{0, -1, 0}, {3.99, -1, 0}, // the count-in
		{4, 0, 1}, {4.99, 0, 1}, {5, 1, 2},
		{9.5, 5, 6}, {10.5, -1, 6}, // a rest
		{11.2, 6, 7}, {13.9, 7, 8}, {14, 8, -1}, {16.1, -1, -1},
	} {
		now, next, _ := cues.At(c.at, 4)
		assert.Equal(t, [2]int{c.now, c.next}, [2]int{note(now), note(next)}, "at %g s", c.at)
	}
}

func TestAShiftIsToldAhead(t *testing.T) {
	s := demoScore(t)
	o, err := outline.Of(s.Piece, outline.Options{})
	require.NoError(t, err)
	table := New(s, work.Work{Way: work.BowSilently, QPM: 84, CountIn: 1, Last: 15})
	cues := table.Cues(s, o)
	first := -1
	for i, c := range cues {
		if c.Shift != "" {
			first = i
			break
		}
	}
	require.Positive(t, first)
	assert.Equal(t, "third position", cues[first].Shift)
	assert.Equal(t, 4, s.Line[cues[first].Note].Measure, "the marked shift of measure 5")
	_, next, ahead := cues.At(cues[first].At-2, 4)
	assert.NotEqual(t, &cues[first], next)
	assert.Equal(t, &cues[first], ahead)
	_, next, ahead = cues.At(cues[first].At-0.1, 4)
	assert.Equal(t, &cues[first], next)
	assert.NotEqual(t, &cues[first], ahead)
	_, _, ahead = cues.At(cues[first].At-6, 4)
	assert.Nil(t, ahead, "not so long before")

	// A range that begins after the shift has the hand there already.
	within := New(s, work.Work{Way: work.BowSilently, QPM: 84, First: 4, Last: 5}).Cues(s, o)
	assert.Empty(t, within[0].Shift)
	assert.Equal(t, "third position", within[0].Position)
}
