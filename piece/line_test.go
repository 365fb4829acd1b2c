package piece_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece"
)

const q = piece.Quarter

// note is a note of the test's pieces; its place follows from those before it.
func note(midi int, length piece.Ticks) piece.Note { return piece.Note{MIDI: midi, Length: length} }

func rest(length piece.Ticks) piece.Note { return piece.Note{Rest: true, Length: length} }

func grace(midi int) piece.Note { return piece.Note{MIDI: midi, Grace: true} }

func tied(n piece.Note) piece.Note { n.TieToNext = true; return n }

// measure puts notes one after another into a measure.
func measure(number string, time piece.Time, notes ...piece.Note) piece.Measure {
	m := piece.Measure{Number: number, Time: time}
	for _, n := range notes {
		n.Start = m.Length
		m.Length += n.Length
		m.Notes = append(m.Notes, n)
	}
	return m
}

var (
	four     = piece.Time{Beats: 4, Unit: 4}
	sixEight = piece.Time{Beats: 6, Unit: 8}
)

func lineOf(t *testing.T, measures ...piece.Measure) []piece.Expected {
	t.Helper()
	line, _ := (&piece.Piece{Measures: measures}).Line()
	return line
}

func TestANoteTiedOverTheBarLineSoundsOnce(t *testing.T) {
	line := lineOf(t,
		measure("1", four, note(43, 3*q), tied(note(45, q))),
		measure("2", four, tied(note(45, 4*q))),
		measure("3", four, note(45, q), note(45, 3*q)))
	require.Len(t, line, 3)
	assert.Equal(t, 6*q, line[1].Length)
	assert.Equal(t, "1", line[1].Number)
	assert.Equal(t, 9*q, line[2].Onset, "the note after the tie is played again")
}

func TestATieReachesOverARepeatIntoTheSecondEnding(t *testing.T) {
	body := measure("1", four, note(43, 3*q), tied(note(45, q)))
	first := measure("2", four, note(45, 4*q))
	first.Endings, first.RepeatTimes = []int{1}, 2
	second := measure("3", four, note(45, 4*q))
	second.Endings = []int{2}
	line := lineOf(t, body, first, second)
	require.Len(t, line, 4)
	assert.Equal(t, 5*q, line[1].Length)
	assert.Equal(t, 5*q, line[3].Length)
	assert.Equal(t, 2, line[3].Pass)
}

func TestATieToAnotherPitchIsNoTie(t *testing.T) {
	line := lineOf(t, measure("1", four, tied(note(43, q)), note(45, q), rest(q), note(45, q)))
	require.Len(t, line, 3)
	assert.Equal(t, q, line[0].Length)
}

func TestATieDoesNotReachOverARest(t *testing.T) {
	line := lineOf(t, measure("1", four, tied(note(43, q)), rest(q), note(43, 2*q)))
	require.Len(t, line, 2)
}

func TestTheEndOfATiedNoteIsMarkedByItsLastNote(t *testing.T) {
	a, b := tied(note(43, 4*q)), note(43, 4*q)
	a.Articulated = piece.Articulation{Staccato: true, Pizz: true}
	a.Marks.Finger = "1"
	b.Articulated = piece.Articulation{Fermata: true, Breath: true}
	line := lineOf(t, measure("1", four, a), measure("2", four, b))
	require.Len(t, line, 1)
	assert.Equal(t, piece.Articulation{Fermata: true, Breath: true, Pizz: true}, line[0].Articulation)
	assert.Equal(t, "1", line[0].Marks.Finger)
}

func TestAGraceNoteIsSetAsideAndLeadsIntoTheNext(t *testing.T) {
	line := lineOf(t, measure("1", four, note(43, q), grace(45), grace(47), note(48, 3*q)))
	require.Len(t, line, 2)
	assert.False(t, line[0].Grace)
	assert.True(t, line[1].Grace)
	assert.Equal(t, q, line[1].Onset)
	assert.Equal(t, 3, line[1].Note, "the index is the printed note's")

	line = lineOf(t, measure("1", four, note(43, 4*q), grace(45)), measure("2", four, note(43, 4*q)))
	assert.True(t, line[1].Grace, "also over the bar line")
}

func TestBeatsCountFromOneInTheTimeSignaturesUnit(t *testing.T) {
	pickup := measure("0", four, note(43, q/2), note(43, q/2))
	line := lineOf(t, pickup, measure("1", four, note(43, q), note(43, 3*q)),
		measure("2", sixEight, note(43, q*3/2), note(43, q/2), note(43, q)))
	var beats []float64
	for _, n := range line {
		beats = append(beats, n.Beat)
	}
	assert.Equal(t, []float64{1, 1.5, 1, 2, 1, 4, 5}, beats, "a pickup counts from its own start")
}

func TestTheSilenceAfterANoteIsWhatIsWritten(t *testing.T) {
	m := measure("1", four, note(43, q), rest(q), note(43, q), rest(q))
	m.RepeatTimes = 2
	line := lineOf(t, m)
	require.Len(t, line, 4)
	for _, n := range line {
		assert.Equal(t, q, n.RestAfter, "over the repeat and at the end too")
	}
}

func TestASlurIsPlayedFromTheNoteBefore(t *testing.T) {
	a, b := note(43, 2*q), note(45, 2*q)
	a.SlurTo, b.SlurFrom = true, true
	line := lineOf(t, measure("1", four, a, b), measure("2", four, note(43, 4*q)))
	assert.Equal(t, []bool{false, true, false}, []bool{line[0].Slurred, line[1].Slurred, line[2].Slurred})
}

func TestASlurIntoAFirstEndingIsNotHeardInTheSecond(t *testing.T) {
	body, first, second := measure("1", four, note(43, 4*q)), measure("2", four, note(45, 4*q)), measure("3", four, note(47, 4*q))
	body.Notes[0].SlurTo, first.Notes[0].SlurFrom = true, true
	first.Endings, first.RepeatTimes, second.Endings = []int{1}, 2, []int{2}
	line := lineOf(t, body, first, second)
	require.Len(t, line, 4)
	assert.True(t, line[1].Slurred)
	assert.False(t, line[3].Slurred)
}

func TestThePiecesOwnTempoIsKnownEverywhere(t *testing.T) {
	p := &piece.Piece{Measures: []piece.Measure{
		measure("1", four, note(43, 4*q)), measure("2", four, note(43, 4*q)), measure("3", four, note(43, 4*q))}}
	assert.Zero(t, p.TempoAt(2, 0), "no mark, no tempo")
	p.Measures[1].Tempos = []piece.Tempo{{At: 0, QPM: 60}, {At: 2 * q, QPM: 80}}
	assert.Zero(t, p.TempoAt(0, 3*q))
	assert.Equal(t, 60.0, p.TempoAt(1, q))
	assert.Equal(t, 80.0, p.TempoAt(1, 2*q))
	assert.Equal(t, 80.0, p.TempoAt(2, 0))
}

func TestAMeasureRangeIsFoundByPrintedNumbers(t *testing.T) {
	p := &piece.Piece{}
	for _, n := range []string{"0", "1", "2", "3", "12a", "13"} {
		p.Measures = append(p.Measures, measure(n, four, note(43, 4*q)))
	}
	for text, want := range map[string][2]int{
		"1-3": {1, 3}, "2": {2, 2}, "0-1": {0, 1}, " 2 - 3 ": {2, 3}, "2–12a": {2, 4}, "12a": {4, 4},
	} {
		first, last, err := p.Select(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, [2]int{first, last}, text)
	}
	for text, want := range map[string]string{
		"21-24": "measure 21 does not exist: the piece has measures 0 to 13",
		"2-99":  "measure 99 does not exist: the piece has measures 0 to 13",
		"3-1":   "measures 3-1: measure 1 comes before measure 3: write the first one first",
		"":      `measures "": write a range such as 21-24, or one measure such as 6`,
		"4-":    `measures "4-": write a range such as 21-24, or one measure such as 6`,
	} {
		_, _, err := p.Select(text)
		assert.EqualError(t, err, want)
	}
}

func TestAMeasureCutByARepeatSignIsSelectedWhole(t *testing.T) {
	head, tail := measure("4", four, note(43, 3*q)), measure("X1", four, note(43, q))
	tail.Implicit = true
	p := &piece.Piece{Measures: []piece.Measure{measure("3", four, note(43, 4*q)), head, tail, measure("5", four, note(43, 4*q))}}
	first, last, err := p.Select("4")
	require.NoError(t, err)
	assert.Equal(t, [2]int{1, 2}, [2]int{first, last})
}

// The signs of a piece, however they are strewn, never make Line fail, run on
// or lose its order.
func FuzzLine(f *testing.F) {
	f.Add([]byte{1, 2, 3, 4, 5, 6, 7, 8})
	f.Add([]byte{0x11, 0x42, 0x80, 0x09, 0xff, 0x33})
	f.Fuzz(func(t *testing.T, signs []byte) {
		p := &piece.Piece{}
		for i := 0; i+1 < len(signs) && i < 400; i += 2 {
			a, b := signs[i], signs[i+1]
			m := measure("1", four, note(40+int(b%8), q), tied(note(40+int(a%8), 3*q)))
			m.RepeatStart, m.Segno, m.Coda, m.ToCoda, m.Fine = a&1 != 0, a&2 != 0, a&4 != 0, a&8 != 0, a&16 != 0
			m.Jump = []piece.Jump{piece.NoJump, piece.NoJump, piece.DaCapo, piece.DalSegno}[b&3]
			if a&32 != 0 {
				m.RepeatTimes = 1 + int(b>>2)
			}
			if a&64 != 0 {
				m.Endings = []int{1 + int(b>>5), 1 + int(b>>3&3)}
			}
			p.Measures = append(p.Measures, m)
		}
		line, played := p.Line()
		if len(played) > piece.MaxPlayed {
			t.Fatal("longer than the bound")
		}
		if len(p.Measures) > 0 && len(played) == 0 {
			t.Fatal("a piece of measures played as nothing")
		}
		for i := 1; i < len(line); i++ {
			if line[i].Onset < line[i-1].Onset+line[i-1].Length {
				t.Fatal("out of order")
			}
		}
		passes := map[int]int{}
		for _, m := range played {
			passes[m.Measure]++
			if m.Pass != passes[m.Measure] {
				t.Fatal("passes out of count")
			}
		}
	})
}
