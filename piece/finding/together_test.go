package finding_test

import (
	"math"
	"math/rand"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp"
	"endpin/piece/finding"
)

// Faults seldom come alone: each of these takes has more than one thing to it,
// and each thing is told as if it were alone.

func TestALateNoteIsHeardInASlowTakeAndInADriftingOne(t *testing.T) {
	h := play(t, harbour).pace(0.7).late(220, "6:2").hear(finding.Options{QPM: 56})
	f := only(t, h, finding.Late, "6")
	assert.InDelta(t, 220, f.Value, 20)
	p := play(t, harbour).bend(func(s float64) float64 { return s * (1.1 - 0.2*s/72) }).late(220, "6:2")
	assert.Contains(t, told(p.listen()), "late 6")
	assert.Len(t, kinds(p.listen(), finding.Late, finding.Early), 1)
}

func TestTwoLateNotesAreTwoFindings(t *testing.T) {
	assert.Equal(t, []string{"late 3", "late 8"}, told(play(t, harbour).late(220, "3:2").late(250, "8:2").listen()))
}

func TestTheEndMayBroaden(t *testing.T) {
	assert.Empty(t, told(play(t, harbour).late(300, "12:1").listen()))
	from := 40 * 60.0 / 80 // two measures before the end
	assert.Empty(t, told(play(t, harbour).bend(func(s float64) float64 { return s + 0.06*math.Max(0, s-from)*math.Max(0, s-from) }).listen()))
}

func TestALateNoteAfterARestartIsLate(t *testing.T) {
	p := play(t, harbour).goBack("7:2", "5:1", 1.2).late(220, "9:3")
	assert.Equal(t, []string{"restarted 5-7", "late 9"}, told(p.listen()))
}

func TestADisplacedFrameAndALateNoteInIt(t *testing.T) {
	p := play(t, harbour)
	p.detune(30, p.in(6, 7, p.stopped)...)
	assert.ElementsMatch(t, []string{"sharp_after_shift 6-7", "late 6"}, told(p.late(220, "6:2").listen()))
}

func TestADisplacedFrameOnABassTunedLow(t *testing.T) {
	p := play(t, harbour)
	p.detune(-20, p.in(1, 12, every)...)
	p.detune(30, p.in(6, 7, p.stopped)...)
	h := p.listen()
	require.Equal(t, []string{"tuning 1-12", "sharp_after_shift 6-7"}, told(h))
	assert.InDelta(t, 30, h.Findings[1].Value, 1, "against the player's own reference")
}

func TestEveryFrameUpTheNeckASemitoneOff(t *testing.T) {
	for _, cents := range []float64{-100, 100} {
		p := play(t, harbour)
		p.detune(cents, append(p.in(3, 3, p.stopped), p.in(6, 7, p.stopped)...)...)
		kind := map[bool]string{true: "sharp_after_shift ", false: "flat_after_shift "}[cents > 0]
		assert.Equal(t, []string{kind + "3", kind + "6-7"}, told(p.listen()))
	}
}

func TestAnUnmarkedFrameASemitoneOffIsNoRowOfWrongNotes(t *testing.T) {
	p := play(t, header+`
G, A, B, A, | D, E, F, G, | C D C D | A, B, A, G, | D, E, F, E, | C D G, D | D C D2 | B, A, G,2 | A,, B,, C, D, |]
`)
	p.detune(-100, p.in(6, 7, p.stopped)...)
	h := p.listen()
	assert.Empty(t, kinds(h, finding.WrongNote), "%v", told(h))
	require.Len(t, h.Findings, 1, "%v", told(h))
	assert.Equal(t, finding.FlatAfterShift, h.Findings[0].Kind)
	assert.Equal(t, dsp.Fair, h.Findings[0].Trust)
}

func TestAWrongNoteInADisplacedFrame(t *testing.T) {
	p := play(t, harbour)
	p.detune(30, p.in(6, 7, p.stopped)...)
	p.detune(200, p.at("7:1"))
	h := p.listen()
	require.Equal(t, []string{"sharp_after_shift 6-7", "wrong_note 7"}, told(h))
	assert.InDelta(t, 30, h.Findings[0].Value, 2)
	assert.Equal(t, 2.0, h.Findings[1].Value)
}

func TestANoteMissingInADisplacedFrame(t *testing.T) {
	p := play(t, harbour)
	p.detune(-30, p.in(6, 7, p.stopped)...)
	p.leaveOut(p.at("6:2"))
	assert.ElementsMatch(t, []string{"flat_after_shift 6-7", "missing 6"}, told(p.listen()))
}

func TestADisplacedFrameWithItsFirstNoteMissing(t *testing.T) {
	p := play(t, harbour)
	p.detune(-30, p.in(6, 7, p.stopped)...)
	p.leaveOut(p.at("6:1"))
	assert.ElementsMatch(t, []string{"missing 6", "flat_after_shift 6-7"}, told(p.listen()))
}

func TestTheOtherRhythmIsHeardAtAnotherTempo(t *testing.T) {
	for _, factor := range []float64{0.75, 1.2} {
		h := play(t, eighths).uneven(3, 0.75).pace(factor).hear(finding.Options{QPM: 80 * factor})
		f := only(t, h, finding.WrongRhythm, "3")
		assert.InDelta(t, 0.25, f.Value, 0.03)
	}
}

func TestAHalfMeasureInAnotherRhythmIsNotALateAndAnEarlyNote(t *testing.T) {
	p := play(t, eighths) // measure 5 begins with four eighths
	for k, place := range []string{"5:1", "5:2"} {
		a, b := p.of(p.at(place))[0], p.of(p.at([]string{"5:1.5", "5:2.5"}[k]))[0]
		at := a.onset + 0.75*(b.end-a.onset)
		a.end, b.onset = at, at
	}
	only(t, p.listen(), finding.WrongRhythm, "5")
}

func TestOneLateEighthIsNoOtherRhythm(t *testing.T) {
	h := play(t, eighths).late(190, "3:2").listen()
	assert.Empty(t, kinds(h, finding.WrongRhythm), "%v", told(h))
}

func TestABeatAddedInARest(t *testing.T) {
	p := play(t, rests).putOff(1, "4:1") // the rest before it lasted two beats
	h := p.listen()
	require.Len(t, h.Findings, 1, "%v", told(h))
	assert.Equal(t, finding.WrongRhythm, h.Findings[0].Kind)
	assert.InDelta(t, 1, h.Findings[0].Value, within)
}

func TestTwoBeatsAddedAreTwo(t *testing.T) {
	f := only(t, play(t, harbour).putOff(2, "8:1").listen(), finding.WrongRhythm, "7-8")
	assert.InDelta(t, 2, f.Value, within)
	assert.Contains(t, f.Text, "2 beats")
}

func TestTheTwoMostWorthFixingAreTheHandAndTheRhythmAndNotALateNote(t *testing.T) {
	p := play(t, eighths).uneven(3, 0.75).late(220, "9:2")
	p.detune(35, p.at("8:1"))
	h := p.listen()
	require.NotEmpty(t, h.WorthFixing)
	assert.Equal(t, finding.WrongRhythm, h.Findings[h.WorthFixing[0]].Kind)
}

func TestARangeOutOfATakeOfTheWholePiece(t *testing.T) {
	p := play(t, harbour)
	p.detune(30, p.in(6, 7, p.stopped)...)
	p.late(300, "10:2") // outside the range
	h := p.hear(finding.Options{Measures: "5-8"})
	only(t, h, finding.SharpAfterShift, "6-7")
	for _, n := range h.Notes {
		assert.Contains(t, []string{"5", "6", "7", "8"}, n.Measure)
	}
	assert.Len(t, h.Notes, 14)
}

func TestATakeOfOneMeasure(t *testing.T) {
	p := play(t, harbour)
	p.leaveOut(append(p.in(1, 5, every), p.in(7, 12, every)...)...)
	assert.Empty(t, told(p.hear(finding.Options{Measures: "6"})))
}

func TestAPluckedTakeIsJudgedByItsPitchAndOnsets(t *testing.T) {
	p := play(t, harbour).pluck()
	p.detune(40, p.in(6, 7, p.stopped)...)
	p.late(250, "10:2")
	h := p.listen()
	assert.Equal(t, []string{"sharp_after_shift 6-7", "late 10"}, told(h))
}

func TestNoTakeMakesTheJudgeStumble(t *testing.T) {
	for seed := range int64(150) { // notes by chance: whatever is said, nothing panics
		rng := rand.New(rand.NewSource(seed))
		p := play(t, []string{harbour, eighths, rests}[rng.Intn(3)])
		kept := p.sounds[:0]
		for _, s := range p.sounds {
			if rng.Float64() < 0.8 {
				s.midi += float64(rng.Intn(5)-2) * float64(rng.Intn(2))
				s.onset += 0.3 * rng.NormFloat64()
				s.end += 0.5 * rng.NormFloat64()
				s.trust = []dsp.Trust{dsp.Sure, dsp.Fair, dsp.NotSure}[rng.Intn(3)]
				s.strength = 5 * rng.Float64()
				s.spread = 40 * rng.Float64()
				kept = append(kept, s)
			}
		}
		p.sounds = kept
		h, err := finding.Judge(p.piece, p.heard(), finding.Options{})
		if err == nil {
			assert.Len(t, withState(h, finding.StateExtra, false), len(p.line))
		}
	}
}
