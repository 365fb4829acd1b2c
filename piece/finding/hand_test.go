package finding_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp"
	"endpin/piece/finding"
)

func TestATakeWithoutAFaultHasNoFinding(t *testing.T) {
	for _, l := range []finding.Level{finding.FirstYear, finding.Intermediate, finding.Advanced} {
		h := play(t, harbour).hear(finding.Options{Level: l})
		assert.Empty(t, told(h), l.Name)
		for _, n := range h.Notes {
			assert.Equal(t, finding.StatePlayed, n.State)
		}
	}
}

// only gives the one finding that a take must have.
func only(t *testing.T, h *finding.Hearing, kind finding.Kind, measures string) finding.Finding {
	t.Helper()
	require.Equal(t, []string{string(kind) + " " + measures}, told(h))
	return h.Findings[0]
}

func TestAHandThatLandsSharpAfterAShiftIsOneFinding(t *testing.T) {
	p := play(t, harbour)
	p.detune(30, p.in(6, 7, p.stopped)...)
	f := only(t, p.listen(), finding.SharpAfterShift, "6-7")
	assert.InDelta(t, 30, f.Value, 1)
	assert.Equal(t, dsp.Sure, f.Trust)
	assert.Equal(t, 1.0, f.Beat)
	assert.Equal(t, 6, f.Notes, "the open G between belongs to no frame")
	assert.Contains(t, f.Text, "from first position to third position")
	assert.Contains(t, f.Text, "measure 6")
	assert.Contains(t, f.Text, "measure 7")
	assert.Contains(t, f.Text, "G string")
	assert.Contains(t, f.Text, "toward the bridge")
}

func TestAHandThatLandsFlatAfterAShiftIsOneFinding(t *testing.T) {
	p := play(t, harbour)
	p.detune(-30, p.in(3, 3, p.stopped)...)
	f := only(t, p.listen(), finding.FlatAfterShift, "3")
	assert.InDelta(t, -30, f.Value, 1)
	assert.Contains(t, f.Text, "toward the scroll")
}

func TestAShiftDownCanBeMissedToo(t *testing.T) {
	p := play(t, harbour)
	p.detune(28, p.in(8, 11, p.stopped)...)
	f := only(t, p.listen(), finding.SharpAfterShift, "8-11")
	assert.Contains(t, f.Text, "from third position to first position")
}

func TestADisplacementWithinTheToleranceIsNotTold(t *testing.T) {
	for _, l := range []finding.Level{finding.FirstYear, finding.Intermediate, finding.Advanced} {
		p := play(t, harbour)
		p.detune(0.9*l.Frame, p.in(6, 7, p.stopped)...)
		assert.Empty(t, told(p.hear(finding.Options{Level: l})), l.Name)
		p = play(t, harbour)
		p.detune(1.1*l.Frame, p.in(6, 7, p.stopped)...)
		assert.Len(t, told(p.hear(finding.Options{Level: l})), 1, l.Name)
	}
}

func TestOneStrayFingerIsItsOwnFindingAndNotTheFrames(t *testing.T) {
	p := play(t, harbour)
	p.detune(45, p.at("3:3"))
	f := only(t, p.listen(), finding.Sharp, "3")
	assert.InDelta(t, 45, f.Value, 1)
	assert.Equal(t, 3.0, f.Beat)
	p = play(t, harbour)
	p.detune(-45, p.at("3:1")) // also where it is the first after the shift
	f = only(t, p.listen(), finding.Flat, "3")
	assert.InDelta(t, -45, f.Value, 1)
}

func TestAStrayFingerInADisplacedFrameIsToldBesideIt(t *testing.T) {
	p := play(t, harbour)
	p.detune(30, p.in(6, 7, p.stopped)...)
	p.detune(50, p.at("7:2"))
	h := p.listen()
	assert.Equal(t, []string{"sharp_after_shift 6-7", "sharp 7"}, told(h))
	assert.InDelta(t, 30, h.Findings[0].Value, 1)
}

func TestNaturalHarmonicsBelongToNoFrame(t *testing.T) {
	p := play(t, header+`
"I"G, !1!A, !4!B, !1!A, | D, !1!E, !4!F, G, | "III"!1!C !harmonic!G !harmonic!G !harmonic!G | !4!D !1!C !harmonic!G !4!D | "I"!1!A, !4!B, !1!A, G, | D, !1!E, !4!F, G, |]
`)
	require.True(t, p.plan.Notes[p.at("3:2")].Harmonic)
	p.detune(30, p.in(3, 4, p.stopped)...)
	f := only(t, p.listen(), finding.SharpAfterShift, "3-4")
	assert.InDelta(t, 30, f.Value, 1, "four harmonics in tune pull nothing")
	assert.Equal(t, 4, f.Notes)
}

func TestOpenStringsAreNoFrame(t *testing.T) {
	p := play(t, harbour)
	assert.Empty(t, kinds(p.detune(40, p.at("6:3")).listen(), finding.SharpAfterShift, finding.FlatAfterShift))
}

func TestAFrameASemitoneOffTogetherIsOneFindingAndNoRowOfWrongNotes(t *testing.T) {
	for _, cents := range []float64{-145, -120, -100, -80, -60, 60, 80, 100, 120, 145} {
		t.Run(fmt.Sprintf("%+.0f", cents), func(t *testing.T) {
			for _, measures := range [][2]int{{3, 3}, {6, 7}} {
				p := play(t, harbour)
				p.detune(cents, p.in(measures[0], measures[1], p.stopped)...)
				kind, word := finding.SharpAfterShift, "semitone high"
				if cents < 0 {
					kind, word = finding.FlatAfterShift, "semitone low"
				}
				where := fmt.Sprint(measures[0])
				if measures[1] != measures[0] {
					where += fmt.Sprint("-", measures[1])
				}
				h := p.listen()
				f := only(t, h, kind, where)
				assert.InDelta(t, cents, f.Value, 2)
				if cents >= 80 || cents <= -80 {
					assert.Contains(t, f.Text, word)
				}
				for _, n := range h.Notes {
					assert.Equal(t, finding.StatePlayed, n.State, "measure %s beat %g", n.Measure, n.Beat)
				}
			}
		})
	}
}

func TestASemitoneOffHoldsForFramesOfTwoNotes(t *testing.T) {
	for _, cents := range []float64{-120, -100, -60, 60, 100, 120} {
		p := play(t, twoNoteFrame)
		p.detune(cents, p.in(3, 3, func(i int) bool { return p.stopped(i) && p.plan.Notes[i].Position == "3" })...)
		h := p.listen()
		require.Len(t, h.Findings, 1, "%v %v", cents, told(h))
		assert.Contains(t, []finding.Kind{finding.SharpAfterShift, finding.FlatAfterShift}, h.Findings[0].Kind)
		assert.InDelta(t, cents, h.Findings[0].Value, 2)
	}
}

const twoNoteFrame = header + `
"I"G, !1!A, !4!B, !1!A, | D, !1!E, !4!F, G, | "III"!1!C !4!D "I"!1!A, G, | "I"!1!A, !4!B, !1!A, G, | D, !1!E, !4!F, G, | A,, !1!B,, !2!C, D, | G,4 |]
`

const oneNoteFrame = header + `
"I"G, !1!A, !4!B, !1!A, | D, !1!E, !4!F, G, | G, "III"!4!D G, "I"!1!A, | !1!A, !4!B, !1!A, G, | D, !1!E, !4!F, G, | A,, !1!B,, !2!C, D, | G,4 |]
`

func TestAFrameOfOneNoteIsFairAtMost(t *testing.T) {
	for _, cents := range []float64{-50, -40, 40, 50} {
		p := play(t, oneNoteFrame)
		p.detune(cents, p.at("3:2"))
		h := p.listen()
		require.Len(t, h.Findings, 1, "%v %v", cents, told(h))
		f := h.Findings[0]
		assert.Contains(t, []finding.Kind{finding.SharpAfterShift, finding.FlatAfterShift}, f.Kind, "%v", cents)
		assert.Equal(t, dsp.Fair, f.Trust, "%v", cents)
		assert.InDelta(t, cents, f.Value, 1)
	}
}

func TestANoteThatIsAllItsHandPlaysIsAnotherOneFromSixtyCentsOn(t *testing.T) {
	for _, cents := range []float64{-70, 70, 100, 140} {
		p := play(t, oneNoteFrame)
		p.detune(cents, p.at("3:2"))
		h := p.listen()
		require.Len(t, h.Findings, 1, "%v %v", cents, told(h))
		f := h.Findings[0]
		assert.Equal(t, finding.WrongNote, f.Kind, "%v", cents)
		assert.Equal(t, dsp.Fair, f.Trust, "a hand may have landed there: %v", cents)
		assert.Equal(t, math.Copysign(1, cents), f.Value)
	}
}

func TestALandingThatIsCorrectedSaysHowLongItTook(t *testing.T) {
	p := play(t, harbour)
	s := p.of(p.at("6:1"))[0]
	s.landing, s.settle = 50, 0.4
	f := only(t, p.listen(), finding.SharpAfterShift, "6")
	assert.InDelta(t, 50, f.Value, 5)
	assert.NotEqual(t, dsp.NotSure, f.Trust)
	assert.Contains(t, f.Text, "corrected")
	assert.Contains(t, f.Text, "0.4 seconds")
}

func TestAScoopedStartThatIsAHabitIsNoLanding(t *testing.T) {
	p := play(t, harbour)
	for k := range p.sounds {
		if i := p.sounds[k].note; p.stopped(i) {
			p.sounds[k].landing, p.sounds[k].settle = -28, 0.2
		}
	}
	assert.Empty(t, told(p.listen()))
}

func TestAnUnmarkedShiftSaysIfYouShifted(t *testing.T) {
	p := play(t, header+`
G, A, B, A, | D, E, F, G, | C D C D | A, B, A, G, | D, E, F, E, | C D G, D | D C D2 | B, A, G,2 | A,, B,, C, D, |]
`)
	require.NotEmpty(t, p.plan.Shifts)
	p.detune(32, p.in(6, 7, p.stopped)...)
	h := p.listen()
	require.Len(t, h.Findings, 1, "%v", told(h))
	f := h.Findings[0]
	assert.Equal(t, finding.SharpAfterShift, f.Kind)
	assert.Equal(t, dsp.Fair, f.Trust)
	assert.Contains(t, f.Text, "If you shifted")
}

func TestTheOpeningFrameIsSharpOrFlatBeforeAnyShift(t *testing.T) {
	for _, cents := range []float64{-30, 30, -100, 100} {
		p := play(t, harbour)
		p.detune(cents, p.in(1, 2, p.stopped)...)
		kind := finding.Sharp
		if cents < 0 {
			kind = finding.Flat
		}
		f := only(t, p.listen(), kind, "1-2")
		assert.InDelta(t, cents, f.Value, 1)
		assert.NotContains(t, f.Text, "shift")
	}
}

func TestALongRestKeepsTheFrameWithLessTrust(t *testing.T) {
	rested := header + `
"I"G, !1!A, !4!B, !1!A, | D, !1!E, !4!F, G, | "III"!1!C !4!D !1!C z | z4 | z4 | !1!C !4!D !1!C2 | "I"!1!A, !4!B, !1!A, G, | D, !1!E, !4!F, G, |]
`
	p := play(t, rested)
	p.detune(30, p.in(3, 6, p.stopped)...)
	f := only(t, p.listen(), finding.SharpAfterShift, "3-6")
	assert.Equal(t, dsp.Fair, f.Trust)
}

func TestAStringCrossingInOnePositionIsNoShift(t *testing.T) {
	h := play(t, harbour).listen()
	var after []string
	for _, n := range h.Notes {
		if n.AfterShift {
			after = append(after, fmt.Sprintf("%s:%g", n.Measure, n.Beat))
		}
	}
	assert.Equal(t, []string{"3:1", "4:1", "6:1", "8:1"}, after)
}

func TestAShiftAcrossAnOpenStringStandsOnTheNoteArrivedAt(t *testing.T) {
	p := play(t, header+`
"I"G, !1!A, !4!B, !1!A, | G, "III"!1!C !4!D !1!C | !4!D !1!C !4!D G, | "I"!1!A, !4!B, !1!A, G, | D, !1!E, !4!F, G, |]
`)
	p.detune(30, p.in(2, 3, p.stopped)...)
	f := only(t, p.listen(), finding.SharpAfterShift, "2-3")
	assert.Equal(t, 2.0, f.Beat)
}

func TestANarrowHandIsOneFinding(t *testing.T) {
	p := play(t, harbour)
	p.detune(-30, p.in(1, 12, p.finger("4"))...)
	p.detune(-15, p.in(1, 12, p.finger("2"))...)
	h := p.listen()
	require.Len(t, h.Findings, 1, "%v", told(h))
	assert.Equal(t, finding.NarrowHand, h.Findings[0].Kind)
	assert.InDelta(t, -30, h.Findings[0].Value, 3)
}

func TestAWideHandIsOneFinding(t *testing.T) {
	p := play(t, harbour)
	p.detune(30, p.in(1, 12, p.finger("4"))...)
	h := p.listen()
	require.Len(t, h.Findings, 1, "%v", told(h))
	assert.Equal(t, finding.WideHand, h.Findings[0].Kind)
	assert.InDelta(t, 30, h.Findings[0].Value, 3)
}

func TestAHandIsNarrowOnlyWhereFramesHaveBothFingers(t *testing.T) {
	p := play(t, header+`
"I"G, !1!A, !1!A, G, | D, !1!E, !1!E, D, | "III"!4!D !4!D G, !4!D | "I"!1!A, !1!A, G, D, | !1!E, !1!A, !1!E, G, | "III"!4!D G, !4!D !4!D |]
`)
	p.detune(-30, p.in(1, 6, p.finger("4"))...)
	assert.Empty(t, kinds(p.listen(), finding.NarrowHand, finding.WideHand))
}

func TestLeadingNotesMayBeHigh(t *testing.T) {
	p := play(t, header+`
"I"G, !1!A, !4!B, !1!A, | D, !1!E, !4!F, G, | "III"!1!C !4!D !1!C !4!D | "I"!1!A, !4!B, !1!A, G, | D, !1!E, !4!F, !1!E, | G, !1!A, !4!B, G, | D, !4!F, G,2 |]
`)
	p.detune(20, p.at("2:3")) // F sharp to G
	assert.Empty(t, told(p.hear(finding.Options{Level: finding.Advanced})))
	p.detune(-20, p.at("2:3")).detune(20, p.at("5:3")) // F sharp to E
	assert.Len(t, told(p.hear(finding.Options{Level: finding.Advanced})), 1)
	p.detune(-20, p.at("5:3")).detune(-20, p.at("2:3")) // nor low
	assert.Len(t, told(p.hear(finding.Options{Level: finding.Advanced})), 1)
}

func TestANoteTooUnclearToHearIsNotJudged(t *testing.T) {
	p := play(t, harbour)
	p.detune(45, p.at("3:3"))
	p.of(p.at("3:3"))[0].trust = dsp.NotSure
	assert.Empty(t, told(p.listen()))
}
