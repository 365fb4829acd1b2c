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

func TestASteadySlowTakeHasNoLateNotes(t *testing.T) {
	for _, factor := range []float64{0.6, 0.75, 1.25, 1.6} {
		h := play(t, harbour).pace(factor).listen()
		f := only(t, h, finding.Tempo, "1-12")
		assert.InDelta(t, 80*factor, f.Value, 0.5)
		assert.InDelta(t, 80*factor, h.TempoHeard, 0.5)
		assert.Equal(t, 80.0, h.TempoAsked)
		assert.Equal(t, dsp.Sure, f.Trust)
	}
	for _, l := range []finding.Level{finding.FirstYear, finding.Intermediate, finding.Advanced} {
		h := play(t, harbour).pace(1 - 0.9*l.Tempo/100).hear(finding.Options{Level: l})
		assert.Empty(t, told(h), l.Name)
	}
}

func TestTheTempoAskedForCountsAndNotThePiecesOwn(t *testing.T) {
	p := play(t, harbour).pace(0.75)
	h := p.hear(finding.Options{QPM: 60})
	assert.Empty(t, told(h))
	assert.Equal(t, 60.0, h.TempoAsked)
	f := only(t, p.hear(finding.Options{QPM: 100}), finding.Tempo, "1-12")
	assert.InDelta(t, 60, f.Value, 0.5)
}

func TestAPieceThatAsksNoTempoHasNoTempoFinding(t *testing.T) {
	p := play(t, replace(harbour, "Q:1/4=80\n", ""))
	for _, factor := range []float64{0.7, 1, 1.4} {
		h := p.pace(factor).listen()
		assert.Empty(t, told(h))
		assert.Zero(t, h.TempoAsked)
		p.pace(1 / factor)
	}
}

func TestATakeThatSpeedsUpIsOneTempoFindingAndNoEarlyNotes(t *testing.T) {
	end := 48 * 60.0 / 80
	for _, share := range []float64{-0.25, 0.25} {
		// The pace grows evenly from the first note to the last by so much.
		p := play(t, harbour).bend(func(s float64) float64 { return s * (1 + share/2 - share/2*s/end) })
		f := only(t, p.listen(), finding.Tempo, "1-12")
		word := "sped up"
		if share < 0 {
			word = "slowed down"
		}
		assert.Contains(t, f.Text, word)
	}
}

func TestAGentleSwayOfTheTempoIsNoFinding(t *testing.T) {
	p := play(t, harbour).bend(func(s float64) float64 { return s + 0.15*math.Sin(2*math.Pi*s/18) })
	assert.Empty(t, told(p.listen()))
}

func TestOneLateEntranceIsOneFindingOnItsOwnNote(t *testing.T) {
	for _, place := range []string{"2:3", "4:1", "6:2", "9:4"} {
		h := play(t, harbour).late(220, place).listen()
		measure := place[:1]
		f := only(t, h, finding.Late, measure)
		assert.InDelta(t, 220, f.Value, 15, place)
		assert.Equal(t, place, fmt.Sprintf("%s:%g", f.Measure, f.Beat))
		assert.Equal(t, dsp.Sure, f.Trust)
	}
}

func TestAnEarlyEntranceIsOneFindingOnItsOwnNote(t *testing.T) {
	h := play(t, harbour).late(-220, "6:2").listen()
	f := only(t, h, finding.Early, "6")
	assert.InDelta(t, -220, f.Value, 15)
	assert.Equal(t, 2.0, f.Beat)
}

func TestLatenessWithinTheToleranceIsNotTold(t *testing.T) {
	for _, l := range []finding.Level{finding.FirstYear, finding.Intermediate, finding.Advanced} {
		assert.Empty(t, told(play(t, harbour).late(0.85*l.Onset, "6:2").hear(finding.Options{Level: l})), l.Name)
		assert.Equal(t, []string{"late 6"}, told(play(t, harbour).late(1.2*l.Onset, "6:2").hear(finding.Options{Level: l})), l.Name)
	}
}

func TestAStopIsToldOnceWhereItHappensAndNotOnAllThatFollows(t *testing.T) {
	h := play(t, harbour).putOff(0.4, "6:1").listen() // 300 ms
	f := only(t, h, finding.Late, "6")
	assert.InDelta(t, 300, f.Value, 25)
	assert.Equal(t, 1.0, f.Beat)
}

func TestALateNoteThatEndsOnTimeIsLateOnly(t *testing.T) {
	for _, place := range []string{"7:3", "8:3"} {
		f := only(t, play(t, harbour).late(350, place).listen(), finding.Late, place[:1])
		assert.InDelta(t, 350, f.Value, 20)
	}
	only(t, play(t, harbour).late(330, "6:2").listen(), finding.Late, "6") // a quarter, more than half gone
}

func TestAHalfNoteCutToAQuarterIsHeldShort(t *testing.T) {
	for _, place := range []string{"7:3", "8:3"} {
		f := only(t, play(t, harbour).hold(0.5, place).listen(), finding.HeldShort, place[:1])
		assert.InDelta(t, 0.5, f.Value, 0.02)
		assert.Equal(t, 3.0, f.Beat)
		assert.Equal(t, dsp.Sure, f.Trust)
		assert.Contains(t, f.Text, "half note")
	}
	f := only(t, play(t, harbour).hold(0.4, "12:1").listen(), finding.HeldShort, "12")
	assert.InDelta(t, 0.4, f.Value, 0.02)
	assert.Contains(t, f.Text, "whole note")
}

func TestABowLiftedEarlyByAHairIsNoFault(t *testing.T) {
	for _, l := range []finding.Level{finding.FirstYear, finding.Intermediate, finding.Advanced} {
		p := play(t, harbour)
		for k := range p.sounds {
			s := &p.sounds[k]
			s.end -= math.Min(0.1, 0.12*(s.end-s.onset))
		}
		assert.Empty(t, told(p.hear(finding.Options{Level: l})), l.Name)
	}
}

func TestWhereShortIsMeantNothingIsHeldShort(t *testing.T) {
	const tune = header + `
"I"G, !1!A, !4!B, !1!A, | D, !1!E, !4!F, G, | !1!A, !4!B, !1!A, G, | %MARKED D, !1!E, | !4!F, G, !1!A, !4!B, | !1!A, G, !4!F, !1!E, | D, !1!E, !4!F, G, | G,4 |]
`
	for name, marked := range map[string]string{
		"nothing": "!1!A,2", "staccato": ".!1!A,2", "fermata": "!fermata!!1!A,2", "breath": "!breath!!1!A,2", "retake": "v!1!A,2 v",
	} {
		t.Run(name, func(t *testing.T) {
			h := play(t, replace(tune, "%MARKED", marked)).hold(0.5, "4:1").listen()
			if name == "nothing" {
				assert.Equal(t, []string{"held_short 4"}, told(h))
			} else {
				assert.Empty(t, told(h))
			}
		})
	}
	t.Run("plucked", func(t *testing.T) {
		p := play(t, harbour).pluck()
		for k := range p.sounds {
			p.sounds[k].end = p.sounds[k].onset + 0.45*(p.sounds[k].end-p.sounds[k].onset)
		}
		assert.Empty(t, told(p.listen()))
	})
	t.Run("two bows", func(t *testing.T) {
		assert.Equal(t, []string{"held_short 4"}, told(play(t, replace(tune, "%MARKED", "v!1!A,2 u")).hold(0.5, "4:1").listen()))
	})
	t.Run("a fermata held twice as long", func(t *testing.T) {
		p := play(t, replace(tune, "%MARKED", "!fermata!!1!A,2")).putOff(1.5, "4:3").hold(1.75, "4:1")
		assert.Empty(t, told(p.listen()))
	})
}

const rests = header + `
"I"G, !1!A, !4!B, !1!A, | D, !1!E, !4!F, G, | !1!A, !4!B, !1!A, z | D, !1!E, G, z | !4!F, G, !1!A, !4!B, | !1!A, G, !4!F, !1!E, | D, !1!E, !4!F, G, | G,4 |]
`

func TestANoteHeldIntoTheRestIsHeldLong(t *testing.T) {
	f := only(t, play(t, rests).hold(1.9, "3:3").listen(), finding.HeldLong, "3")
	assert.InDelta(t, 1.9, f.Value, 0.05)
	assert.Equal(t, 3.0, f.Beat)
}

func TestARingingOpenStringIsNeverLong(t *testing.T) {
	p := play(t, rests).hold(2, "4:3")
	require.True(t, p.open(p.at("4:3")))
	assert.Empty(t, told(p.listen()))
}

// within is 30 ms at ♩ = 80, in beats: how near a time must be told.
const within = 0.04

const eighths = header + `
"I"G, !1!A, !4!B, !1!A, | D, !1!E, !4!F, G, | !1!A,/!4!B,/ !1!A,/G,/ D,/!1!E,/ !4!F,/G,/ | !1!A, !4!B, !1!A, G, |
G,/!4!F,/ !1!E,/D,/ !1!E, !4!F, | G,/>!1!A,/ !4!B,/>!1!A,/ !4!F,2 | G,3/!4!F,/ !1!E,3/D,/ | !1!E, !4!F, G, !1!A, | !4!B, !1!A, G, !4!F, | G,4 |]
`

// uneven moves the second of each pair of notes in a measure to another share
// of the pair's time.
func (p *player) uneven(measure int, share float64) *player {
	notes := p.in(measure, measure, every)
	for k := 0; k+1 < len(notes); k += 2 {
		a, b := p.of(notes[k])[0], p.of(notes[k+1])[0]
		at := a.onset + share*(b.end-a.onset)
		a.end, b.onset = at, at
	}
	return p
}

func TestLongShortForEvenIsToldOnce(t *testing.T) {
	p := play(t, eighths).uneven(3, 0.75)
	f := only(t, p.listen(), finding.WrongRhythm, "3")
	assert.Equal(t, dsp.Sure, f.Trust)
	assert.InDelta(t, 0.25, f.Value, 0.02, "of a beat")
	assert.Contains(t, f.Text, "long–short")
	assert.Contains(t, f.Text, "even")
	f = only(t, play(t, eighths).uneven(3, 0.25).listen(), finding.WrongRhythm, "3")
	assert.Contains(t, f.Text, "short–long")
}

func TestTripletSwingForEvenEighthsIsAnotherRhythm(t *testing.T) {
	f := only(t, play(t, eighths).uneven(3, 2.0/3).listen(), finding.WrongRhythm, "3")
	assert.InDelta(t, 1.0/6, f.Value, 0.02)
}

func TestEvenForLongShortIsToldOnce(t *testing.T) {
	f := only(t, play(t, eighths).uneven(6, 0.5).listen(), finding.WrongRhythm, "6")
	assert.InDelta(t, 0.25, f.Value, 0.02)
	assert.Contains(t, f.Text, "even")
	f = only(t, play(t, eighths).uneven(7, 0.5).listen(), finding.WrongRhythm, "7")
	assert.InDelta(t, 0.5, f.Value, 0.02)
	assert.Contains(t, f.Text, "even")
	assert.Contains(t, f.Text, "long–short")
}

func TestASlightlyLazyDottedRhythmIsStillTheWrittenOne(t *testing.T) {
	assert.Empty(t, told(play(t, eighths).uneven(7, 0.72).listen()))
	assert.Empty(t, told(play(t, eighths).uneven(3, 0.53).listen()))
}

func TestABeatSwallowedIsOneFinding(t *testing.T) {
	for _, place := range []string{"8:1", "9:1"} { // the half note before it had one beat
		p := play(t, harbour).putOff(-1, place)
		f := only(t, p.listen(), finding.WrongRhythm, map[string]string{"8:1": "7-8", "9:1": "8-9"}[place])
		assert.InDelta(t, 1, f.Value, within)
		assert.Contains(t, f.Text, "a beat was left out")
	}
}

func TestABeatAddedIsOneFinding(t *testing.T) {
	p := play(t, harbour).putOff(1, "8:1")
	f := only(t, p.listen(), finding.WrongRhythm, "7-8")
	assert.InDelta(t, 1, f.Value, within)
	assert.Contains(t, f.Text, "a beat too many")
	p = play(t, harbour).putOff(1, "8:1").hold(1.5, "7:3") // the note held through it
	only(t, p.listen(), finding.WrongRhythm, "7-8")
}

func TestSixEightCountsSix(t *testing.T) {
	p := play(t, `X:1
M:6/8
L:1/8
Q:3/8=60
K:G
"I"G,2!1!A, !4!B,2!1!A, | D,!1!E,!4!F, G,3 | !1!A,2!4!B, !1!A,2G, | D,!1!E,!4!F, G,!1!A,!4!B, | !1!A,2G, !4!F,2!1!E, | D,3 G,3 | G,6 |]
`)
	assert.Empty(t, told(p.listen()))
	assert.Equal(t, 90.0, p.listen().TempoAsked)
	f := only(t, p.late(300, "5:4").listen(), finding.Late, "5")
	assert.Equal(t, 4.0, f.Beat)
}

// One note in three let go before the tolerance is no slip where all lengths are the player's own.
func TestWhoLiftsTheBowBetweenStrokesHoldsNoNoteShort(t *testing.T) {
	p := play(t, harbour)
	for i := range p.line {
		for _, s := range p.of(i) {
			s.end = s.onset + []float64{0.95, 0.8, 0.65}[i%3]*(s.end-s.onset)
		}
	}
	assert.Empty(t, kinds(p.listen(), finding.HeldShort))
	assert.Len(t, kinds(play(t, harbour).hold(0.65, "4:2").listen(), finding.HeldShort), 1, "where all others are held out, it is one")
}

// A quarter note and the first of a triplet are no dotted pair that could be played evenly.
func TestAnEarlyTripletIsEarlyAndNoRhythm(t *testing.T) {
	const triplets = header + `
G,A,B,A,|D,E,F,G,|A, (3B,/A,/G,/ A,2|G,A,B,A,|D,E,F,G,|G,A,B,A,|D,E,F,G,|G,4|]
`
	h := play(t, triplets).late(-250, "3:2").listen()
	assert.Equal(t, []string{"early 3"}, told(h))
}
