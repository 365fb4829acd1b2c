package sheets

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp"
	"endpin/piece/class"
	"endpin/piece/finding"
)

// brokenOff is a class of two, of whom Ben stops within measure 2 of the piece.
func brokenOff(t *testing.T) (sheet, ben string) {
	t.Helper()
	p, _ := invented(t)
	line, _ := p.Line()
	all := func(until int) *finding.Hearing {
		h := &finding.Hearing{}
		onset := 1.0
		for i, e := range line {
			n := finding.Note{Measure: e.Number, Pass: e.Pass, Beat: e.Beat, State: finding.StateMissing, Trust: dsp.Sure}
			if i < until {
				n.State, n.Onset = finding.StatePlayed, &onset
			}
			h.Notes = append(h.Notes, n)
		}
		if until < len(line) {
			last := line[until-1]
			h.Findings = []finding.Finding{{Kind: finding.Stopped, Measure: last.Number, ToMeasure: last.Number, Pass: 1, Beat: last.Beat,
				Trust: dsp.Sure, Unplayed: true, Text: "The recording ends in measure 2: measures 3 to 6 were not judged."}}
		}
		return h
	}
	until := 0
	for line[until].Number != "2" {
		until++
	}
	require.Equal(t, "2", line[until+1].Number)
	s := class.Gather(p, p.Title, []class.Seat{{Name: "Ada", Files: []string{"1"}}, {Name: "Ben", Files: []string{"2"}}},
		[]class.Result{{File: "1", Hearing: all(len(line))}, {File: "2", Hearing: all(until + 1)}}, nil)
	var a, b bytes.Buffer
	require.NoError(t, ClassHTML(&a, p, s, ClassOptions{}))
	require.NoError(t, StudentHTML(&b, &class.Page{Name: s.Students[1].Name, Parts: []class.Part{{Piece: p, Title: p.Title, Student: &s.Students[1]}}}, StudentOptions{}))
	return a.String(), b.String()
}

func TestMeasuresNeverReachedDoNotLookLikeGoodOnes(t *testing.T) {
	sheet, _ := brokenOff(t)
	_, rows, _ := strings.Cut(sheet, "<tbody")
	ada, ben, _ := strings.Cut(rows, "<tbody")
	assert.NotContains(t, ada, "Not played.")
	assert.NotRegexp(t, `data-at="measure 1" class="not"`, ben)
	assert.Regexp(t, `data-at="measure 2" class="not"><span class="dash" title="The recording ends in measure 2: measures 3 to 6 were not judged."`, ben)
	assert.Regexp(t, `data-at="measure 3" class="not"><span class="dash" title="Not played." role="img" aria-label="Not played.">–<`, ben)
	assert.Regexp(t, `<p>The recording ends in measure 2: measures 3 to 6 were not judged.</p>`, ben)
	assert.Contains(t, ben, "not played, or not to its end", "the legend")
	assert.NotContains(t, ben, "missing", "that a take stops is no note left out")
}

func TestAMeasureThatWasPlayedToItsEndHasNoDashThoughTheRecordingEndsThere(t *testing.T) {
	played, ends := 1.0, finding.Finding{Kind: finding.Stopped, Measure: "2", Pass: 1}
	h := &finding.Hearing{Notes: []finding.Note{{Measure: "2", Pass: 1, Onset: &played}, {Measure: "2", Pass: 1, Onset: &played}, {Measure: "3", Pass: 1}}}
	assert.False(t, partly(h, &ends))
	h.Notes[1].Onset = nil
	assert.True(t, partly(h, &ends))
}

func TestAStudentCountsOnceForWhatOneShapeStandsForAndHollowWhereNobodyIsSure(t *testing.T) {
	c := &columns{all: make([]sheetColumn, 1), counts: make([]map[finding.Kind]int, 1), feet: []map[string]*sheetCount{{}}}
	after, alone := &finding.Finding{Kind: finding.SharpAfterShift, Trust: dsp.Fair}, &finding.Finding{Kind: finding.Sharp, Trust: dsp.Fair}
	ben, ida := map[string]bool{}, map[string]bool{}
	c.stand(0, after, ben)
	c.stand(0, alone, ben)
	c.foot(2)
	assert.Equal(t, []sheetCount{{Shape: "up", Label: "sharp", Count: 1, Hollow: true}}, c.all[0].Foot)
	c.stand(0, &finding.Finding{Kind: finding.Sharp, Trust: dsp.Sure}, ida)
	c.all[0].Foot = nil
	c.foot(2)
	assert.Equal(t, []sheetCount{{Shape: "up", Label: "sharp", Count: 2}}, c.all[0].Foot)
}

func TestTheStudentReadsWhereTheRecordingStops(t *testing.T) {
	_, page := brokenOff(t)
	assert.NotContains(t, page, "this time", "half a piece is no whole one without a fault")
	assert.Regexp(t, `<p>The recording ends in measure 2: measures 3 to 6 were not judged.</p>`, page)
}
