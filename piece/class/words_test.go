package class

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece"
	"endpin/piece/finding"
	"endpin/piece/words/pseudo"
)

func TestWhatToTeachAgainNamesTheShiftAndTheNoteWhereMostMeantTheSame(t *testing.T) {
	p := tune()
	n := &p.Measures[2].Notes[2]
	n.Value, n.Spelling = "half", piece.Spelling{Step: "A", Octave: 2}
	short := found(finding.HeldShort, "3")
	short.Beat = 3
	elsewhere := short
	elsewhere.Beat = 2 // a note whose value the file does not tell
	shifted := func(to string, beat float64, f ...finding.Finding) *finding.Hearing {
		h := heard(9, append(f, found(finding.SharpAfterShift, "2"))...)
		h.Landings = []finding.Landing{{Measure: "2", Pass: 1, Beat: beat, From: "1", To: to}}
		return h
	}
	seats := []Seat{{"A", []string{"a"}}, {"B", []string{"b"}}, {"C", []string{"c"}}}
	text := func(third ...*finding.Hearing) (said []string) {
		r := []Result{{File: "a", Hearing: shifted("3", 1, short)}, {File: "b", Hearing: shifted("3", 1, short)}, {File: "c", Hearing: third[0]}}
		for _, x := range Gather(p, "", seats, r, nil).Reteach {
			said = append(said, x.Text())
		}
		return said
	}
	assert.Equal(t, []string{"3 of 3 stayed sharp after the shift into third position in measures 2 and 6, which are the same music.",
		"3 of 3 cut the half note A short in measure 3."}, text(func() *finding.Hearing {
		h := heard(9, found(finding.SharpAfterShift, "6"), short)
		h.Landings = []finding.Landing{{Measure: "6", Pass: 1, Beat: 1, To: "3"}}
		return h
	}()))
	assert.Equal(t, []string{"3 of 3 stayed sharp after the shift into third position in measure 2.", "3 of 3 cut the half note A short in measure 3."},
		text(shifted("2", 1, elsewhere)), "two of three mean the same")
	r := Gather(p, "", seats[:2], []Result{{File: "a", Hearing: shifted("3", 1)}, {File: "b", Hearing: shifted("2", 1)}}, nil).Reteach
	require.Len(t, r, 1)
	assert.Equal(t, "2 of 2 stayed sharp after the shift in measure 2.", r[0].Text(), "into two positions: neither is named")
}

func TestAFindingInAFewWords(t *testing.T) {
	f := found(finding.FlatAfterShift, "6")
	assert.Equal(t, "flat after shift, measure 6", InWords(&f))
	f.ToMeasure = "8"
	assert.Equal(t, "flat after shift, measures 6–8", InWords(&f))
	f.Kind = finding.Tuning
	assert.Equal(t, "the instrument wants tuning", InWords(&f), "the whole take has no measure")
}

func TestEveryWordOfAClassStandsInTheCatalogue(t *testing.T) {
	defer pseudo.Speak()()
	p := tune()
	n := &p.Measures[1].Notes[0]
	n.Value, n.Spelling = "half", piece.Spelling{Step: "A", Octave: 2}
	said := []string{Stops(played(p, 9, 27)), Stops(played(p, 0, 10))}
	for _, csv := range []string{"<x>", "\xff", "name\n", ",a*\n", "Ada,[\n", "Ada\nAda\n"} {
		_, err := ReadRoster([]byte(csv))
		require.Error(t, err, csv)
		said = append(said, err.Error())
	}
	for _, k := range finding.Kinds() {
		for _, to := range []string{"2", "3"} {
			f := found(k, "2")
			f.ToMeasure = to
			said = append(said, InWords(&f))
			for _, fewer := range []bool{false, true} {
				said = append(said, Reteach{Kind: k, Measure: "2", Fewer: fewer}.Text(), Reteach{Kind: k, Measure: "2", Also: []string{"6"}, What: named(p, 1, &f, nil)}.Text())
			}
		}
	}
	seats := []Seat{{"Ada", []string{"1.wav", "2.wav"}}, {"Ben", []string{"3.wav"}}, {"Cy", nil}}
	for _, second := range []Result{{}, {File: "2.wav", Hearing: heard(9)}, {File: "2.wav", Hearing: heard(8)}} {
		for _, st := range Gather(p, "", seats, []Result{{File: "1.wav", Hearing: heard(9)}, second}, nil).Students {
			said = append(said, st.Reason, st.Why)
		}
	}
	for _, s := range said {
		assert.Empty(t, pseudo.Plain(s, "It stops", "It begins late", ".wav", "Ada"), s)
	}
}
