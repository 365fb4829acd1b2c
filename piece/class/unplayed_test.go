package class

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp"
	"endpin/piece"
	"endpin/piece/finding"
)

// played is a hearing of a piece of which only the notes from one to before another of
// the line were played, as the findings tell it.
func played(p *piece.Piece, from, to int, f ...finding.Finding) *finding.Hearing {
	h := &finding.Hearing{Findings: f}
	line, _ := p.Line()
	onset := 1.0
	for i, e := range line {
		n := finding.Note{Measure: e.Number, Pass: e.Pass, Beat: e.Beat, State: finding.StateMissing, Trust: dsp.Sure}
		if i >= from && i < to {
			n.State, n.Onset = finding.StatePlayed, &onset
		}
		h.Notes = append(h.Notes, n)
	}
	if to < len(line) {
		a := line[to-1]
		h.Findings = append(h.Findings, finding.Finding{Kind: finding.Stopped, Measure: a.Number, ToMeasure: a.Number, Pass: a.Pass, Beat: a.Beat,
			Trust: dsp.Sure, Unplayed: true, Text: "It stops."})
	}
	return h
}

func TestATakeThatStopsOrBeginsInTheMidstSaysSo(t *testing.T) {
	p := tune()
	assert.Equal(t, "It stops.", Stops(played(p, 0, 10)))
	assert.Equal(t, "The take begins at measure 3, beat 2: what comes before cannot be judged.", Stops(played(p, 9, 32)))
	assert.Equal(t, "The take begins at measure 3, beat 2: what comes before cannot be judged. It stops.", Stops(played(p, 9, 20)))
	assert.Empty(t, Stops(played(p, 0, 32)))
	assert.Empty(t, Stops(nil))
}

func TestOfATakeThatStopsOrBeginsInTheMidstTheOtherMeasuresWereNotPlayed(t *testing.T) {
	p := tune()
	assert.Equal(t, map[int]bool{3: true, 4: true, 5: true, 6: true, 7: true}, NotPlayed(p, played(p, 0, 10)), "of measure 3 two notes were")
	assert.Equal(t, map[int]bool{2: true, 3: true, 4: true, 5: true, 6: true, 7: true}, NotPlayed(p, played(p, 0, 8)))
	assert.Equal(t, map[int]bool{7: true}, NotPlayed(p, played(p, 0, 27)))
	assert.Empty(t, NotPlayed(p, played(p, 0, 30)))
	assert.Equal(t, map[int]bool{0: true, 1: true}, NotPlayed(p, played(p, 9, 32)))
}

func TestWhereSomethingElseWasPlayedNobodySaysThatNothingWas(t *testing.T) {
	p := tune()
	for _, h := range []*finding.Hearing{played(p, 0, 10), played(p, 9, 32)} {
		h.Findings = []finding.Finding{{Kind: finding.Missing, Measure: "1", ToMeasure: "8", Pass: 1, Beat: 1, Trust: dsp.NotSure, Unplayed: true}}
		assert.Empty(t, Stops(h))
		assert.Empty(t, NotPlayed(p, h))
	}
}

func TestAMeasurePlayedTheFirstTimeRoundWasPlayed(t *testing.T) {
	p := tune()
	p.Measures[3].RepeatTimes = 2
	h := played(p, 0, 20) // it breaks off after the first measure of the second time round
	assert.Equal(t, map[int]bool{4: true, 5: true, 6: true, 7: true}, NotPlayed(p, h))
}

func TestARestAmongMeasuresNotPlayedIsNotPlayedEither(t *testing.T) {
	p := tune()
	for _, m := range []int{2, 5, 7} {
		p.Measures[m].Notes = nil
	}
	assert.Equal(t, map[int]bool{3: true, 4: true, 5: true, 6: true, 7: true}, NotPlayed(p, played(p, 0, 8)), "before the stop a rest may have been kept")
}

func TestMeasuresThatNobodyAskedForAreNotAmongThoseNotPlayed(t *testing.T) {
	p := tune()
	part := tune()
	part.Measures = part.Measures[:4]
	assert.Equal(t, map[int]bool{2: true, 3: true}, NotPlayed(p, played(part, 0, 8)))
}

func TestWhoseTakeNeverGotThereIsNotCountedThere(t *testing.T) {
	p := tune()
	seats := []Seat{{"A", []string{"a"}}, {"B", []string{"b"}}, {"C", []string{"c"}}, {"D", []string{"d"}}}
	in := func(measure string) Reteach {
		f := found(finding.WrongNote, measure)
		r := Gather(p, "", seats, []Result{{File: "a", Hearing: played(p, 0, 32, f)}, {File: "b", Hearing: played(p, 0, 32, f)},
			{File: "c", Hearing: played(p, 0, 32)}, {File: "d", Hearing: played(p, 0, 10)}}, nil).Reteach
		require.Len(t, r, 1, "that a take stops is nothing to teach again")
		return r[0]
	}
	assert.Equal(t, 3, in("7").Of)
	assert.Equal(t, "2 of the 3 heard there played another note in measure 7.", in("7").Text())
	assert.Equal(t, 4, in("3").Of, "it stops within measure 3")
	assert.Equal(t, "2 of 4 played another note in measure 3.", in("3").Text())
}
