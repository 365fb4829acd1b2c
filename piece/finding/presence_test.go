package finding_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp"
	"endpin/piece/align"
	"endpin/piece/finding"
)

func TestAWrongNoteTellsByHowMuch(t *testing.T) {
	for _, c := range []struct {
		place     string
		semitones float64
	}{{"2:3", -1}, {"5:2", 2}, {"9:2", -2}, {"11:1", 3}, {"10:3", -5}, {"3:2", 1}} {
		p := play(t, harbour)
		p.detune(100*c.semitones, p.at(c.place))
		h := p.listen()
		require.Len(t, h.Findings, 1, "%s %v", c.place, told(h))
		f := h.Findings[0]
		assert.Equal(t, finding.WrongNote, f.Kind)
		assert.Equal(t, c.semitones, f.Value)
		n := h.Notes[p.at(c.place)]
		assert.Equal(t, finding.StateWrong, n.State)
		assert.Equal(t, p.line[p.at(c.place)].MIDI+int(c.semitones), *n.HeardMIDI)
	}
}

// The track alone slips by octaves. TestANoteReallyPlayedAnOctaveOffIsTold has the sound.
func TestAnOctaveIsNotToldByTheTrackAlone(t *testing.T) {
	p := play(t, harbour)
	p.detune(-1200, p.at("4:2"))
	assert.Empty(t, told(p.listen()))
}

func TestAWrongNoteIsNotAStrayFingerToo(t *testing.T) {
	p := play(t, harbour)
	p.detune(130, p.at("4:2")) // a semitone, and 30 cents more
	only(t, p.listen(), finding.WrongNote, "4")
}

func TestANoteNotHeardIsMissing(t *testing.T) {
	for _, place := range []string{"2:3", "4:1", "6:4", "9:2"} {
		p := play(t, harbour)
		i := p.at(place)
		f := only(t, p.leaveOut(i).listen(), finding.Missing, place[:1])
		assert.Equal(t, dsp.Sure, f.Trust, place)
		n := p.listen().Notes[i]
		assert.Equal(t, finding.StateMissing, n.State)
		assert.Nil(t, n.HeardMIDI)
		assert.Nil(t, n.Onset)
		assert.Nil(t, n.Cents)
	}
}

func TestAMeasureNotPlayedIsOneFinding(t *testing.T) {
	p := play(t, harbour)
	f := only(t, p.leaveOut(p.in(5, 5, every)...).listen(), finding.Missing, "5")
	assert.Equal(t, 4, f.Notes)
}

func TestAMeasureSkippedIsLeftOutAndNothingAfterItIsEarly(t *testing.T) {
	p := play(t, harbour)
	p.leaveOut(p.in(5, 5, every)...).putOff(-4, "6:1")
	f := only(t, p.listen(), finding.LeftOut, "5")
	assert.Equal(t, 1.0, f.Value)
	assert.Equal(t, "Measure 5 was left out: you went on behind it.", f.Text)
	assert.True(t, f.Located, "the measure need not be named twice")
}

func TestATakeThatEndsEarlyIsOneFinding(t *testing.T) {
	p := play(t, harbour)
	f := only(t, p.leaveOut(p.in(9, 12, every)...).listen(), finding.Stopped, "8")
	assert.Contains(t, f.Text, "measures 9 to 12")
}

func TestATakeThatStopsIsToldAndIsNothingToMend(t *testing.T) {
	p := play(t, harbour)
	h := p.leaveOut(p.in(9, 12, every)...).listen()
	f := only(t, h, finding.Stopped, "8")
	assert.True(t, f.Unplayed)
	assert.Equal(t, dsp.Sure, f.Trust)
	assert.Equal(t, "The recording ends in measure 8: measures 9 to 12 were not judged.", f.Text)
	assert.Empty(t, h.WorthFixing)
}

// Repeated notes whose beginnings are not heard sound as one: a take is no shorter for it.
func TestRepeatedNotesThatAreNotHeardApartStopNoTake(t *testing.T) {
	const knocking = `X:1
T:Knocking
M:3/8
L:1/8
Q:3/8=56
K:C
B,, B, B,, | C, _B, C, | ^C, A, ^C, | D, ^G, D, | _E, G, _E, | E, ^F, E, | F, F, F, | F, F, F, |]
`
	p := play(t, knocking)
	h := p.hold(3, "7:1").hold(3, "8:1").leaveOut(p.at("7:2"), p.at("7:3"), p.at("8:2"), p.at("8:3")).listen()
	assert.Empty(t, kinds(h, finding.Stopped), "%v", told(h))
	p = play(t, knocking)
	f := only(t, p.leaveOut(p.at("8:2"), p.at("8:3")).listen(), finding.Stopped, "8")
	assert.Equal(t, dsp.Sure, f.Trust)
}

func TestOnlyTheLastNoteLeftOutIsMissingLikeAnyOther(t *testing.T) {
	p := play(t, harbour)
	h := p.leaveOut(p.at("12:1")).listen()
	f := only(t, h, finding.Missing, "12")
	assert.False(t, f.Unplayed)
	assert.NotEmpty(t, h.WorthFixing)
}

func TestWhatDoesNotFitThePageAtTheEndIsNotSure(t *testing.T) {
	p := play(t, harbour)
	p.detune(600, p.in(9, 12, every)...)
	h := p.listen()
	missing := kinds(h, finding.Missing)
	require.Len(t, missing, 1, "%v", told(h))
	assert.Equal(t, dsp.NotSure, missing[0].Trust)
	assert.Contains(t, missing[0].Text, "does not fit the page")
}

func TestATakeThatBeginsInTheMiddleIsARemarkAndNoFault(t *testing.T) {
	p := play(t, harbour)
	h := p.leaveOut(p.in(1, 4, every)...).listen()
	assert.Empty(t, told(h))
	assert.Contains(t, h.Remarks, "The take begins at measure 5, beat 1: what comes before cannot be judged.")
}

func TestANoteThatIsNotOnThePageIsExtra(t *testing.T) {
	p := play(t, rests).putIn(47, 1, 0.8, "3:3") // in the rest
	h := p.listen()
	f := only(t, h, finding.Extra, "3")
	assert.InDelta(t, 4, f.Beat, 0.1)
	extra := 0
	for _, n := range h.Notes {
		if n.State == finding.StateExtra {
			extra++
			assert.Equal(t, 47, n.MIDI)
			assert.Equal(t, "3", n.Measure)
		}
	}
	assert.Equal(t, 1, extra)
}

func TestAnExtraNoteInTheMiddleOfAnotherIsExtra(t *testing.T) {
	p := play(t, harbour).putIn(47, 1, 0.9, "7:3").hold(0.5, "7:3")
	require.NotEmpty(t, kinds(p.listen(), finding.Extra), "%v", told(p.listen()))
	assert.Len(t, p.listen().Findings, 1, "%v", told(p.listen()))
}

func TestAKnockIsNoNote(t *testing.T) {
	p := play(t, rests).putIn(47, 1, 0.1, "3:3")
	assert.Empty(t, told(p.listen()))
}

func TestGoingBackTellsBothMeasures(t *testing.T) {
	p := play(t, harbour).goBack("7:2", "5:1", 1.2)
	f := only(t, p.listen(), finding.Restarted, "5-7")
	assert.Equal(t, 5.0, f.Value)
	assert.Equal(t, 1.0, f.Beat)
	assert.Contains(t, f.Text, "measure 7")
	assert.Contains(t, f.Text, "measure 5")
}

func TestAMeasureBegunAgainIsItsOwnRestart(t *testing.T) {
	f := only(t, play(t, harbour).goBack("6:3", "6:1", 1.2).listen(), finding.Restarted, "6")
	assert.Contains(t, f.Text, "measure 6")
}

func TestARestartWithoutAPauseIsARestart(t *testing.T) {
	only(t, play(t, harbour).goBack("7:3", "5:1", 0).listen(), finding.Restarted, "5-7")
}

func TestGoingBackTwiceIsTwoFindings(t *testing.T) {
	p := play(t, harbour).goBack("3:4", "2:1", 1).goBack("9:4", "8:1", 1)
	assert.Equal(t, []string{"restarted 2-3", "restarted 8-9"}, told(p.listen()))
}

func TestTheLastTimeCountsAfterARestart(t *testing.T) {
	p := play(t, harbour).goBack("7:2", "5:1", 1.2)
	p.of(p.at("5:3"))[0].midi += 0.5 // off the first time, put right the second
	only(t, p.listen(), finding.Restarted, "5-7")
	p = play(t, harbour).goBack("7:2", "5:1", 1.2)
	p.of(p.at("5:3"))[1].midi += 0.5
	assert.Equal(t, []string{"restarted 5-7", "sharp 5"}, told(p.listen()))
}

func TestATryThatWasGivenUpIsKeptForWhoeverLooksCloser(t *testing.T) {
	p := play(t, harbour).goBack("7:3", "5:1", 1.2)
	h := p.listen()
	require.Len(t, h.Earlier, 1)
	try := h.Earlier[0]
	assert.Equal(t, "5", try[0].Measure)
	assert.Equal(t, "7", try[len(try)-1].Measure)
	for _, n := range try {
		again := h.Notes[n.Line]
		assert.Less(t, *n.Offset, *again.Onset, "the last time counts")
		assert.InDelta(t, *again.Cents, *n.Cents, 6, "the same hand, measured against the same reference")
		assert.Equal(t, finding.StatePlayed, n.State)
	}
	assert.Empty(t, play(t, harbour).listen().Earlier)
}

func TestTwoAttemptsAreOneRestart(t *testing.T) {
	only(t, play(t, harbour).goBack("12:1", "1:1", 3).listen(), finding.Restarted, "1-12")
	only(t, play(t, harbour).goBack("5:2", "1:1", 3).listen(), finding.Restarted, "1-5")
}

func TestATakeAnOctaveOffThroughoutIsOneRemark(t *testing.T) {
	for _, octave := range []float64{-1200, 1200} {
		p := play(t, harbour)
		p.detune(octave, p.in(1, 12, every)...)
		h := p.listen()
		assert.Empty(t, told(h))
		said := 0
		for _, r := range h.Remarks {
			if contains(r, "octave") && contains(r, "whole take") {
				said++
			}
		}
		assert.Equal(t, 1, said, "%v", h.Remarks)
		for _, n := range h.Notes {
			assert.Equal(t, finding.StatePlayed, n.State)
		}
	}
}

func TestTheSecondTimeThroughARepeatIsThePass(t *testing.T) {
	p := play(t, header+`
"I"G, !1!A, !4!B, !1!A, |: D, !1!E, !4!F, G, | !1!A, !4!B, !1!A, G, :| !1!E, !4!F, G, !1!A, | !4!B, !1!A, G,2 |]
`)
	for i, e := range p.line {
		if e.Number == "3" && e.Pass == 2 && e.Beat == 2 {
			p.detune(50, i)
		}
	}
	h := p.listen()
	f := only(t, h, finding.Sharp, "3")
	assert.Equal(t, 2, f.Pass)
	passes := map[int]int{}
	for _, n := range h.Notes {
		passes[n.Pass]++
	}
	assert.Equal(t, map[int]int{1: 19, 2: 8}, passes)
}

func TestARangeOfMeasuresIsHeardAlone(t *testing.T) {
	p := play(t, harbour)
	p.detune(30, p.in(6, 7, p.stopped)...)
	p.leaveOut(append(p.in(1, 4, every), p.in(9, 12, every)...)...)
	h := p.hear(finding.Options{Measures: "5-8"})
	only(t, h, finding.SharpAfterShift, "6-7")
	assert.Equal(t, "5", h.Notes[0].Measure)
	assert.Equal(t, "8", h.Notes[len(h.Notes)-1].Measure)
}

func TestAFewMeasuresAreHeardWithTheFingersOfTheWholeHoweverSlow(t *testing.T) {
	// A B B B, B B B C, D E D E: of the second measure alone the hand would lie in second position.
	const climb = header + `
A, B, B, B, | B, B, B, C | D E D E |]
`
	fingers := func(measures string, qpm float64) map[string]string {
		p := play(t, climb)
		if measures != "" {
			p.leaveOut(append(p.in(1, 1, every), p.in(3, 3, every)...)...)
		}
		all := map[string]string{}
		h := p.hear(finding.Options{Measures: measures, QPM: qpm})
		for _, n := range h.Notes {
			all[fmt.Sprint(n.Measure, " ", n.Beat)] = fmt.Sprint(n.String, " ", n.Position, " ", n.Finger)
		}
		return all
	}
	whole := fingers("", 0)
	require.Len(t, whole, 12)
	for _, qpm := range []float64{40, 60, 80} {
		part := fingers("2-2", qpm)
		require.Len(t, part, 4)
		assert.Subset(t, whole, part, "at %v", qpm)
	}
}

func TestARangeThatIsNotThereIsAnError(t *testing.T) {
	p := play(t, harbour)
	for _, range_ := range []string{"21-24", "6-5", "x", "-"} {
		_, err := finding.Judge(p.piece, p.heard(), finding.Options{Measures: range_})
		assert.Error(t, err, range_)
	}
}

func TestARangeOfRestsIsAnError(t *testing.T) {
	p := play(t, header+"\nG, A, B, A, | z4 | G, A, B, G, |]\n")
	_, err := finding.Judge(p.piece, p.heard(), finding.Options{Measures: "2"})
	assert.Error(t, err)
}

func TestAnotherPieceIsNotHeard(t *testing.T) {
	p := play(t, harbour)
	other := play(t, `X:1
M:3/4
L:1/8
Q:1/4=110
K:Bb
B,,2 D2 F,2 | E,3 C, _A,2 | B,2 F,_D_G,B, | E,6 | C2 _D2 E2 | F,B,F,B,_A,_G, | E,2 E2 E,2 | B,,6 |]
`)
	_, err := finding.Judge(other.piece, p.heard(), finding.Options{})
	assert.ErrorIs(t, err, align.ErrNothing)
	_, err = finding.Judge(p.piece, &dsp.Heard{}, finding.Options{})
	assert.ErrorIs(t, err, align.ErrNothing)
}

// Whoever sounds one pitch evenly plays every piece of one pitch.
func TestWhatCouldBeAnyPieceIsHeardButNeverSurely(t *testing.T) {
	for name, c := range map[string]struct {
		tune string
		sure bool
	}{
		"one note":                {header + "\n\"I\"!1!A,4 |]\n", false},
		"two notes":               {header + "\n\"I\"!1!A,2 G,2 |]\n", false},
		"four quarters of C":      {header + "\nC C C C |]\n", false},
		"twelve notes of G":       {header + "\nG, G, G, G, | G, G, G, G, | G, G, G, G, |]\n", false},
		"one pitch with a rhythm": {header + "\nG,2 G, G, | G,2 G, G, | G,4 |]\n", true},
		"five notes up a scale":   {header + "\nG, A, B, C | D4 |]\n", true},
	} {
		t.Run(name, func(t *testing.T) {
			p := play(t, c.tune)
			h := p.listen()
			if c.sure {
				assert.Empty(t, told(h))
				return
			}
			require.NotEmpty(t, h.Findings)
			assert.Equal(t, finding.NotSure, h.Findings[0].Kind)
			assert.Contains(t, h.Findings[0].Text, "to tell this piece from another")

			p.detune(40, 0)
			for _, f := range p.listen().Findings {
				assert.Equal(t, dsp.NotSure, f.Trust, f.Text)
			}
		})
	}
}

func TestCleanTakesOfEverySortHaveNoFinding(t *testing.T) {
	for name, tune := range map[string]string{
		"a pickup":      header + "\nD, | \"I\"G, !1!A, !4!B, !1!A, | D, !1!E, !4!F, G, | !1!A, !4!B, !1!A, G, | D, !1!E, G,2 |]\n",
		"triplets":      header + "\n\"I\"G, !1!A, (3!1!A,/!4!B,/!1!A,/ G, | D, (3D,/!1!E,/!4!F,/ G,2 | (3G,/!1!A,/!4!B,/ !1!A, G, D, | D, !1!E, G,2 |]\n",
		"slurred pairs": header + "\n\"I\"(G, !1!A,) (!4!B, !1!A,) | (D, !1!E,) (!4!F, G,) | (\"III\"!1!C !4!D) (!1!C !4!D) | \"I\"(!1!A, !4!B,) (!1!A, G,) |]\n",
		"three beats":   replace(header, "M:4/4", "M:3/4") + "\n\"I\"G,2 !1!A, | !4!B,3 | !1!A, G, D, | !1!E,2 !4!F, | G,3 |]\n",
		"repeats":       header + "\n|: \"I\"G, !1!A, !4!B, !1!A, | D, !1!E, !4!F, G, :|: !1!A, !4!B, !1!A, G, |1 D, !1!E, G,2 :|2 D, D, G,2 |]\n",
		"ties":          header + "\n\"I\"G, !1!A, !4!B,2- | !4!B, !1!A, G,2- | G,2 D, !1!E, | !4!F, G, !1!A, !4!B, | G,4 |]\n",
		"grace notes":   header + "\n\"I\"G, {!4!B,}!1!A, !4!B, !1!A, | D, {!4!F,}!1!E, !4!F, G, | !1!A, !4!B, !1!A, G, | D, !1!E, G,2 |]\n",
	} {
		t.Run(name, func(t *testing.T) { assert.Empty(t, told(play(t, tune).listen())) })
	}
}
