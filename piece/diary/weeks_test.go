package diary_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp"
	"endpin/piece/diary"
	"endpin/piece/diary/weeks"
	"endpin/piece/finding"
)

func TestAMeasureIsCleanWhereAllWasHeardAndNothingTold(t *testing.T) {
	d := open(t)
	add(t, d, played(t, "Mina", monday, 28)) // told of in measure 2; the last note of measure 2 is missing
	clean := played(t, "Mina", monday.AddDate(0, 0, 1), 5)
	clean.Hearing.Findings = nil
	clean.Hearing.Notes[7] = clean.Hearing.Notes[6]
	clean.Hearing.Notes[7].Beat = 4
	add(t, d, clean)
	measures, err := weeksOf(t, d, "Mina").Measures()
	require.NoError(t, err)
	require.Len(t, measures, 4)
	for i, m := range measures {
		require.Len(t, m.Passes, 2)
		assert.Equal(t, []bool{i != 1, true}, []bool{m.Passes[0].Clean, m.Passes[1].Clean}, m.Measure)
		assert.Equal(t, 78.25, m.Passes[0].QPM)
	}
}

// endsIn is a take of which nothing sounds from a measure on.
func endsIn(take diary.Take, measure string) diary.Take {
	take.Hearing.Findings = nil
	gone := false
	for i := range take.Hearing.Notes {
		n := &take.Hearing.Notes[i]
		if gone = gone || n.Measure == measure; gone {
			n.State, n.HeardMIDI, n.Onset, n.Offset, n.Cents, n.CentsSpread, n.LateMS, n.Held = finding.StateMissing, nil, nil, nil, nil, nil, nil, nil
		}
	}
	return take
}

func TestMeasuresBehindTheEndOfARecordingWereNotPlayedAndTheirNotesNotHeard(t *testing.T) {
	d := open(t)
	add(t, d, endsIn(played(t, "Mina", monday, 28), "3"))
	measures, err := weeksOf(t, d, "Mina").Measures()
	require.NoError(t, err)
	require.Len(t, measures, 2, "of four")
	takes, err := d.Takes(diary.Span{Player: "Mina"})
	require.NoError(t, err)
	assert.Equal(t, 7, takes[0].Notes, "of the eight of two measures one is missing")
}

func TestWhatCameBackAfterDaysOffIsTold(t *testing.T) {
	d := open(t)
	told := func(day int, there bool) {
		take := played(t, "Mina", monday.AddDate(0, 0, day), 28)
		if !there {
			take.Hearing.Findings = nil
		}
		add(t, d, take)
	}
	for day, there := range []bool{true, true, false, false, false} {
		told(day, there)
	}
	back := weeksOf(t, d, "Mina").CameBack(3)
	assert.Empty(t, back, "no days off yet")
	told(8, true) // three days off: days 5, 6 and 7
	back = weeksOf(t, d, "Mina").CameBack(3)
	assert.Empty(t, back, "once is not enough")
	told(9, true)
	back = weeksOf(t, d, "Mina").CameBack(3)
	require.Len(t, back, 1)
	assert.Equal(t, weeks.Return{Piece: "Gate Song", Measure: "2", Kind: finding.SharpAfterShift, DaysOff: 3, Back: back[0].Back}, back[0])
	back = weeksOf(t, d, "Mina").CameBack(4)
	assert.Empty(t, back)
}

func TestTuningsAndSlipsAreReadTakeByTake(t *testing.T) {
	d := open(t)
	take := played(t, "Mina", monday, 28)
	take.Hearing.Findings = append(take.Hearing.Findings, finding.Finding{Measure: "3", ToMeasure: "3", Kind: finding.Late, Trust: "sure"})
	take.Hearing.HeardA = 436.5
	add(t, d, take)
	tunings, err := weeksOf(t, d, "Mina").Tunings()
	require.NoError(t, err)
	require.Len(t, tunings.A, 1)
	assert.Equal(t, 436.5, tunings.A[0].Value)
	require.Len(t, tunings.Strings[4], 1)
	assert.Equal(t, *take.Hearing.Notes[0].Cents, tunings.Strings[4][0].Value)
	counted := weeksOf(t, d, "Mina").Alone(finding.ByCount)
	require.Equal(t, []finding.Kind{finding.Late, finding.HeldShort}, []finding.Kind{counted[0].Kind, counted[1].Kind})
	late, short := counted[0].Counts, counted[1].Counts
	assert.Equal(t, []int{1, 13, 0}, []int{late[0].Told, late[0].Chance, short[0].Told})
}

func TestThePaceOfAPassageAndEvennessAreFollowedTakeByTake(t *testing.T) {
	d := open(t)
	told := func(day int, findings ...finding.Finding) {
		take := played(t, "Mina", monday.AddDate(0, 0, day), 28)
		take.Hearing.Findings = findings
		add(t, d, take)
	}
	slower := func(from, to string, share float64, trust dsp.Trust) finding.Finding {
		return finding.Finding{Kind: finding.SlowerPassage, Measure: from, ToMeasure: to, Value: share, Trust: trust}
	}
	told(0, slower("2", "3", 0.7, dsp.Sure), finding.Finding{Kind: finding.Uneven, Measure: "1", ToMeasure: "4", Value: 31, Trust: dsp.Fair})
	told(1, slower("1", "2", 0.8, dsp.Fair))
	told(2, slower("3", "3", 0.9, dsp.NotSure))
	told(3)
	w := weeksOf(t, d, "Mina")
	passages, err := w.Passages()
	require.NoError(t, err)
	require.Len(t, passages, 1, "measures that overlap are one passage")
	p := passages[0]
	assert.Equal(t, []string{"Gate Song", "1", "3"}, []string{p.Piece, p.From, p.To})
	var pace, scatter []float64
	for _, r := range p.Pace {
		pace = append(pace, r.Value)
	}
	for _, r := range w.Alone(finding.ByValue)[0].Values {
		scatter = append(scatter, r.Value)
	}
	assert.Equal(t, []float64{0.7, 0.8, 1, 1}, pace, "what is not sure is not told")
	assert.Equal(t, []float64{31, 0, 0, 0}, scatter)
}
