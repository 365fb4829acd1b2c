package piece_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece"
)

// tune writes measures down as letters, one a measure, with the signs of the
// page around them: |: :| for repeats, 1. 2. before a bracketed measure, and
// the words after the measure that they end.
func tune(t *testing.T, text string) *piece.Piece {
	t.Helper()
	p := &piece.Piece{}
	start := false
	var endings []int
	segno, coda := false, false
	for _, word := range strings.Fields(text) {
		last := func() *piece.Measure { return &p.Measures[len(p.Measures)-1] }
		switch word {
		case "|:":
			start = true
		case ":|":
			last().RepeatTimes = 2
		case ":|x5":
			last().RepeatTimes = 5
		case "1.":
			endings = []int{1}
		case "2.":
			endings = []int{2}
		case "3.":
			endings = []int{3}
		case "1.2.":
			endings = []int{1, 2}
		case "segno":
			segno = true
		case "coda":
			coda = true
		case "toCoda":
			last().ToCoda = true
		case "fine":
			last().Fine = true
		case "D.C.":
			last().Jump = piece.DaCapo
		case "D.S.":
			last().Jump = piece.DalSegno
		default:
			require.Len(t, word, 1)
			p.Measures = append(p.Measures, piece.Measure{Number: word, Length: piece.Quarter,
				RepeatStart: start, Endings: endings, Segno: segno, Coda: coda})
			start, endings, segno, coda = false, nil, false, false
		}
	}
	return p
}

func order(t *testing.T, p *piece.Piece) string {
	t.Helper()
	played, err := p.Unfold()
	require.NoError(t, err)
	var b strings.Builder
	for _, m := range played {
		b.WriteString(p.Measures[m.Measure].Number)
	}
	return b.String()
}

// Common practice, no source: the order in which printed music is played.
func TestMeasuresArePlayedInTheOrderThatTheSignsAsk(t *testing.T) {
	for name, c := range map[string]struct{ page, played string }{
		"no signs":                                  {"A B C", "ABC"},
		"a repeat without a sign to go back to":     {"A B :| C", "ABABC"},
		"a repeat between signs":                    {"A |: B C :| D", "ABCBCD"},
		"a second repeat begins after the first":    {"A B :| C D :|", "ABABCDCD"},
		"a repeat played five times":                {"|: A :|x5 B", "AAAAAB"},
		"a repeat inside another":                   {"|: A |: B :| C :| D", "ABBCABBCD"},
		"two endings":                               {"|: A 1. B :| 2. C D", "ABACD"},
		"endings of two measures":                   {"|: A 1. B 1. C :| 2. D 2. E F", "ABCADEF"},
		"an ending for two rounds":                  {"|: A 1.2. B :| 3. C D", "ABABACD"},
		"three endings":                             {"|: A 1. B :| 2. C :| 3. D E", "ABACADE"},
		"a first ending whose second has no number": {"|: A 1. B :| C D", "ABACD"},
		"a second ending closed by a repeat sign":   {"|: A 1. B :| 2. C :| |: D :|", "ABACDD"},
		"endings twice in a piece":                  {"|: A 1. B :| 2. C |: D 1. E :| 2. F", "ABACDEDF"},
		"da capo al fine":                           {"A B fine C D D.C.", "ABCDAB"},
		"da capo without a fine":                    {"A B D.C.", "ABAB"},
		"repeats are not taken again":               {"|: A :| B fine |: C :| D D.C.", "AABCCDAB"},
		"the last ending after a da capo":           {"|: A 1. B :| 2. C fine D D.C.", "ABACDAC"},
		"a first ending alone, after a da capo":     {"|: A 1. B :| C fine D D.C.", "ABACDAC"},
		"dal segno al fine":                         {"A segno B C fine D D.S.", "ABCDBC"},
		"dal segno without its sign":                {"A B D.S.", "ABAB"},
		"dal segno al coda":                         {"A segno B toCoda C D D.S. coda E F", "ABCDBEF"},
		"da capo al coda, repeat inside the coda":   {"A toCoda B D.C. coda C :| D", "ABACCD"},
		"a repeat and a jump at the same bar line":  {"A fine B :| D.C.", "ABABA"},
		"brackets that nothing goes back to":        {"A 1. B 2. C D", "ABCD"},
		"first ending ends with da capo":            {"A 1. B D.C. 2. C", "ABAC"},
	} {
		t.Run(name, func(t *testing.T) {
			assert.Equal(t, c.played, order(t, tune(t, c.page)))
		})
	}
}

func TestEachMeasureCountsItsPasses(t *testing.T) {
	played, err := tune(t, "|: A 1. B :| 2. C").Unfold()
	require.NoError(t, err)
	assert.Equal(t, []piece.PlayedMeasure{
		{Measure: 0, Pass: 1, Onset: 0},
		{Measure: 1, Pass: 1, Onset: piece.Quarter},
		{Measure: 0, Pass: 2, Onset: 2 * piece.Quarter},
		{Measure: 2, Pass: 1, Onset: 3 * piece.Quarter},
	}, played)
}

func TestRepeatsThatGrowWithoutEndAreRefused(t *testing.T) {
	p := tune(t, "A :| B :|")
	p.Measures[0].RepeatTimes = 1 << 30
	played, err := p.Unfold()
	require.ErrorContains(t, err, "repeat signs")
	assert.Len(t, played, piece.MaxPlayed)

	p = tune(t, "|: 1. A :|")
	p.Measures[0].Endings = []int{1 << 40}
	_, err = p.Unfold()
	require.ErrorContains(t, err, "repeat signs")
	line, played := p.Line()
	assert.Empty(t, line)
	assert.Len(t, played, piece.MaxPlayed)
}
