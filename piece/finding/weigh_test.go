package finding_test

import (
	"fmt"
	"math/rand"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"

	"endpin/dsp"
	"endpin/piece/finding"
)

// at is a finding of so many notes on the first beat of a measure.
func at(kind finding.Kind, measure string, value, tolerance float64, notes int) finding.Finding {
	return finding.Finding{Kind: kind, Measure: measure, ToMeasure: measure, Pass: 1, Beat: 1, Value: value, Tolerance: tolerance, Notes: notes, Trust: dsp.Sure}
}

// ranked names the findings of a take in the order in which they are worth fixing.
func ranked(h *finding.Hearing, before ...*finding.Hearing) (said []string) {
	for _, i := range h.Worth(before...) {
		f := &h.Findings[i]
		said = append(said, fmt.Sprint(f.Kind, " ", f.Measure))
	}
	return said
}

// twice is a hearing of eight measures played twice, of one note each, all in place.
func twice(f ...finding.Finding) *finding.Hearing {
	h := &finding.Hearing{Level: "intermediate", TempoAsked: 84, Findings: f}
	for pass := 1; pass <= 2; pass++ {
		for m := 1; m <= 8; m++ {
			cents, late, held, onset := 0.0, 0.0, 1.0, 1.0
			h.Notes = append(h.Notes, finding.Note{Measure: fmt.Sprint(m), Pass: pass, Beat: 1, MIDI: 40 + m, Position: fmt.Sprint(m), Finger: "1",
				Onset: &onset, Cents: &cents, LateMS: &late, Held: &held, State: finding.StatePlayed, Trust: dsp.Sure})
		}
	}
	return h
}

func TestWhatIsFartherOffComesFirst(t *testing.T) {
	h := &finding.Hearing{Findings: []finding.Finding{at(finding.FlatAfterShift, "2", -24, 18, 8), at(finding.FlatAfterShift, "5", -110, 18, 2)}}
	assert.Equal(t, []string{"flat_after_shift 5", "flat_after_shift 2"}, ranked(h))
}

func TestWhatComesAgainComesBeforeWhatSlippedOnce(t *testing.T) {
	in := func(from, to, measure string) finding.Landing {
		return finding.Landing{Measure: measure, Pass: 1, Beat: 1, From: from, To: to, String: 1}
	}
	h := &finding.Hearing{Landings: []finding.Landing{in("1", "3", "2"), in("1", "4", "4"), in("1", "3", "6")},
		Findings: []finding.Finding{at(finding.SharpAfterShift, "2", 24, 18, 3), at(finding.SharpAfterShift, "4", 80, 18, 8), at(finding.SharpAfterShift, "6", 30, 18, 3)}}
	assert.Equal(t, []string{"sharp_after_shift 6", "sharp_after_shift 4"}, ranked(h), "the same shift twice, told once, where it was farthest off")
	h.Landings[2].From = "half"
	assert.Equal(t, []string{"sharp_after_shift 4", "sharp_after_shift 6", "sharp_after_shift 2"}, ranked(h), "another shift")
	before := &finding.Hearing{Landings: h.Landings, Findings: h.Findings[:1]}
	assert.Equal(t, []string{"sharp_after_shift 2", "sharp_after_shift 4", "sharp_after_shift 6"}, ranked(h, before), "it was so in the take before")
}

func TestWhatWasRightTheOtherTimeComesLast(t *testing.T) {
	late, wrong := at(finding.Late, "3", 400, 100, 1), at(finding.Late, "5", 150, 100, 1)
	h := twice(late, wrong)
	*h.Notes[8+4].LateMS = 180 // measure 5 is late the second time, too
	assert.Equal(t, []string{"late 5", "late 3"}, ranked(h))
	again := wrong
	again.Pass = 2
	assert.Equal(t, []string{"late 5", "late 3"}, ranked(twice(late, wrong, again)))
}

func TestALandingPutRightComesLast(t *testing.T) {
	h := twice(at(finding.FlatAfterShift, "2", -160, 18, 1), at(finding.HeldShort, "5", 0.5, 0.7, 1))
	h.Notes = h.Notes[:8]
	assert.Equal(t, []string{"held_short 5", "flat_after_shift 2"}, ranked(h))
	*h.Notes[1].Cents = -40
	assert.Equal(t, []string{"flat_after_shift 2", "held_short 5"}, ranked(h))
}

func TestForAFirstYearThePulseComesBeforeThePitch(t *testing.T) {
	all := []finding.Finding{at(finding.SharpAfterShift, "2", 80, 25, 8), at(finding.WrongNote, "3", 1, 0.5, 1), at(finding.Late, "4", 180, 150, 1), at(finding.Restarted, "6", 0, 0, 0)}
	h := &finding.Hearing{Level: "first-year", Findings: all}
	assert.Equal(t, []string{"restarted 6", "late 4", "sharp_after_shift 2", "wrong_note 3"}, ranked(h))
	h.Level = "intermediate"
	assert.Equal(t, "sharp_after_shift 2", ranked(h)[0])
}

func TestANarrowHandIsNotToldAgainAsItsFrames(t *testing.T) {
	narrow := at(finding.NarrowHand, "1", -32, 18, 9)
	narrow.ToMeasure = "8"
	h := twice(narrow, at(finding.FlatAfterShift, "3", -26, 18, 4), at(finding.Flat, "5", -31, 25, 1), at(finding.FlatAfterShift, "7", -70, 18, 4))
	h.Notes = h.Notes[:8]
	assert.Equal(t, []string{"flat_after_shift 7", "narrow_hand 1"}, ranked(h), "a frame that lies farther off than the hand is narrow is one of its own")
}

func TestWhatIsNoFaultIsNeverRanked(t *testing.T) {
	h := &finding.Hearing{}
	for _, k := range finding.Kinds() {
		f := at(k, "1", 1, 0, 1)
		if f.Trust = dsp.NotSure; k == finding.Stopped {
			f.Trust, f.Unplayed = dsp.Sure, true
		}
		h.Findings = append(h.Findings, f)
	}
	assert.Empty(t, h.Worth())
}

// One knob at a time: no finding comes later for being farther off, for covering more
// notes, or for being surer.
func TestNothingComesLaterForBeingWorse(t *testing.T) {
	kinds := []finding.Kind{finding.SharpAfterShift, finding.Flat, finding.NarrowHand, finding.Late, finding.HeldShort, finding.HeldLong, finding.WrongRhythm,
		finding.WrongNote, finding.Missing, finding.Extra, finding.Restarted, finding.Tempo, finding.Tuning}
	tolerances := map[finding.Unit]float64{finding.Cents: 18, finding.Milliseconds: 100, finding.BeatsOff: 0.12, finding.QuartersAMinute: 6, finding.Semitones: 0.5, finding.PaceShare: 0.08, finding.Seconds: 0.4}
	r := rand.New(rand.NewSource(611))
	some := func(measure int) finding.Finding {
		k := kinds[r.Intn(len(kinds))]
		f := at(k, fmt.Sprint(measure), 0, tolerances[k.Row().Unit], 1+r.Intn(12))
		switch f.Value = f.Tolerance * (1 + 3*r.Float64()); k {
		case finding.HeldShort:
			f.Value, f.Tolerance = 0.7*r.Float64(), 0.7
		case finding.HeldLong:
			f.Value, f.Tolerance = 1.3+r.Float64(), 1.3
		case finding.Tempo:
			f.Value = 84 - f.Value
		case finding.SlowerPassage:
			f.Value = 1 - f.Value
		case finding.FasterPassage:
			f.Value = 1 + f.Value
		}
		f.Trust = []dsp.Trust{dsp.Sure, dsp.Fair}[r.Intn(2)]
		return f
	}
	worse := []func(f *finding.Finding){
		func(f *finding.Finding) { f.Notes++ },
		func(f *finding.Finding) { f.Trust = dsp.Sure },
		func(f *finding.Finding) {
			switch f.Kind {
			case finding.HeldShort:
				f.Value *= 0.9
			case finding.Tempo:
				f.Value -= 3
			case finding.SlowerPassage:
				f.Value -= 0.05
			default:
				f.Value *= 1.1
			}
		},
	}
	kinds = append(kinds, finding.SlowerPassage, finding.FasterPassage, finding.Paused)
	for range 3000 {
		h := twice()
		h.Level = []string{"first-year", "intermediate", "advanced"}[r.Intn(3)]
		for m := range 2 + r.Intn(6) {
			h.Findings = append(h.Findings, some(m+1))
		}
		k := r.Intn(len(h.Findings))
		before := slices.Index(h.Worth(), k)
		if before < 0 {
			continue // another tells the same mistake
		}
		worse[r.Intn(len(worse))](&h.Findings[k])
		after := slices.Index(h.Worth(), k)
		assert.True(t, after >= 0 && after <= before, "%+v: from %d to %d", h.Findings[k], before, after)
	}
}
