package main

import (
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp"
	"endpin/dsp/rig"
	"endpin/piece"
	"endpin/piece/finding"
	"endpin/piece/notation"
)

// playedInOrder is what is heard of a take, on modelled strings, of a piece's measures in
// an order of the player's own.
func playedInOrder(t *testing.T, p *piece.Piece, order string) *finding.Hearing {
	plan := rig.Plan{TempoQPM: 96}
	at := 0.0
	for _, number := range strings.Fields(order) {
		k, err := strconv.Atoi(number)
		require.NoError(t, err)
		m := &p.Measures[k-1]
		for i := range m.Notes {
			n := &m.Notes[i]
			plan.Notes = append(plan.Notes, rig.Note{MIDI: n.MIDI, OnsetBeat: at + n.Start.Quarters(), DurBeats: n.Length.Quarters()})
		}
		at += m.Length.Quarters()
	}
	take, err := rig.Strings{Ring: 0.18, Seed: 5}.Play(plan)
	require.NoError(t, err)
	heard, err := dsp.Listen(&dsp.Samples{SampleRate: rig.Rate, Data: take.Samples}, dsp.Bass)
	require.NoError(t, err)
	h, err := finding.Judge(p, heard, finding.Options{})
	require.NoError(t, err)
	return h
}

// The page, what was played of it, and what is said of that: no fault is found in any.
func TestRepeatsEndingsAndSignsTakenOtherwiseAreToldAsWhatTheyAre(t *testing.T) {
	const (
		repeats = "|: G,A,B,D | C B, A, G, | D2 B,2 :|: E D C B, | A, B, C A, | G,4 :|"
		endings = "|: G,A,B,D | C B, A, G, |1 D2 B,2 :|2 A,2 G,2 || E D C B, | A, B, C A, | G,4 |]"
		near    = "|: G,A,B,D | C B, A, G, |1 D B, A,2 :|2 D A, G,2 || E D C B, | A, B, C A, | G,4 |]"
		fine    = "G,A,B,D | C B, A, G, | D2 G,2!fine! | E D C B, | A, B, C A, | D E D2!D.C.! |]"
		segno   = "G,A,B,D | !segno! C B, A, G, | D2 G,2!fine! | E D C B, | A, B, C A, | D E D2!D.S.! |]"
		coda    = "G,A,B,D | C B, A, G, !dacoda!| D2 G,2 | E D C B, | A, B, C A, | D E D2!D.C.! | !coda! E C A, B, | G,4 |]"
	)
	for _, c := range []struct{ page, played, said string }{
		{repeats, "1 2 3 1 2 3 4 5 6 4 5 6", ""},
		{repeats, "1 2 3 4 5 6", "The repeat of measures 1 to 3 was not taken. The repeat of measures 4 to 6 was not taken."},
		{repeats, "1 2 3 1 2 3 4 5 6", "The repeat of measures 4 to 6 was not taken."},
		{endings, "1 2 3 1 2 4 5 6 7", ""},
		{endings, "1 2 4 5 6 7", "The repeat of measures 1 to 2 was not taken."},
		{endings, "1 2 3 5 6 7", "The repeat of measures 1 to 2 was not taken."},
		{endings, "1 2 3 1 2 3 5 6 7", "The ending from measure 3 was played where the page has the one from measure 4."},
		{endings, "1 2 4 1 2 4 5 6 7", "The ending from measure 4 was played where the page has the one from measure 3."},
		{near, "1 2 3 1 2 4 5 6 7", ""},
		{near, "1 2 3 1 2 3 5 6 7", "The ending from measure 3 was played where the page has the one from measure 4."},
		{near, "1 2 4 1 2 4 5 6 7", "The ending from measure 4 was played where the page has the one from measure 3."},
		{fine, "1 2 3 4 5 6 1 2 3", ""},
		{fine, "1 2 3 4 5 6", "After measure 6 the page goes back to the beginning: that da capo was not taken."},
		{fine, "1 2 3 4 5 6 1 2 3 4 5 6", "The page ends with measure 3: the playing went on into measure 4."},
		{segno, "1 2 3 4 5 6 2 3", ""},
		{segno, "1 2 3 4 5 6", "After measure 6 the page goes back to the sign in measure 2: that was not done."},
		{coda, "1 2 3 4 5 6 1 2 7 8", ""},
		{coda, "1 2 3 4 5 6 7 8", "After measure 6 the page goes back to the beginning: that da capo was not taken."},
		{coda, "1 2 3 4 5 6 1 2 3 4 5 6 7 8", "Measure 3 was played again where the page goes on to measure 7."},
	} {
		p, err := notation.Read("form.abc", []byte("X:1\nT:Form\nM:4/4\nL:1/4\nQ:1/4=96\nK:G clef=bass octave=-1\n"+c.page+"\n"))
		require.NoError(t, err)
		h := playedInOrder(t, p, c.played)
		said := strings.Join(h.Remarks[:len(h.Remarks)-1], " ") // the last tells of the transposition
		assert.Equal(t, c.said, said, "%s\n%s", c.page, c.played)
		for _, f := range h.Findings {
			assert.Fail(t, f.Text, "%s\n%s", c.page, c.played)
		}
	}
}
