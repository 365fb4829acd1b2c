package practice

import (
	"strings"
	"testing"

	"endpin/dsp"
	"endpin/piece"
	"endpin/piece/finding"
	"endpin/piece/outline"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// takeOf is a take in which every measure was played, with these findings.
func takeOf(o *outline.Outline, findings ...finding.Finding) *finding.Hearing {
	h := &finding.Hearing{Findings: findings}
	for i := range o.Line {
		h.Notes = append(h.Notes, finding.Note{Measure: o.Line[i].Number, Line: i, State: finding.StatePlayed})
	}
	return h
}

func at(measure string, trust dsp.Trust) finding.Finding {
	return finding.Finding{Measure: measure, ToMeasure: measure, Kind: finding.Late, Trust: trust}
}

func bringUps(plan Plan) (all []Item) {
	for _, it := range plan.Items[1:] { // the first is to begin with
		if it.Work == WorkUp || it.Work == PlayAlone && it.Range.Last-it.Range.First < 8 {
			all = append(all, it)
		}
	}
	return all
}

func worksOn(plan Plan, measure int) (float64, bool) {
	for _, it := range bringUps(plan) {
		if it.Range.Holds(measure) {
			return it.Minutes, true
		}
	}
	return 0, false
}

func TestOneCleanTakeShortensWhatWasGuessedAndSeveralLeaveItOut(t *testing.T) {
	out := outlined(t, "mill_wheel.musicxml", outline.Options{})
	guess := For(out, Options{Minutes: 30})
	hardest := bringUps(guess)[0].Range.Last
	before, worked := worksOn(guess, hardest)
	require.True(t, worked)

	once := For(out, Options{Minutes: 30, Hearings: []*finding.Hearing{takeOf(out)}})
	after, worked := worksOn(once, hardest)
	assert.True(t, worked, "one take proves little")
	assert.Less(t, after, before)
	assert.Contains(t, strings.Join(once.Changed, " "), "Shortened")

	twice := For(out, Options{Minutes: 30, Hearings: []*finding.Hearing{takeOf(out), takeOf(out)}})
	_, worked = worksOn(twice, hardest)
	assert.False(t, worked)
	assert.Contains(t, strings.Join(twice.Changed, " "), "Left out")
}

// Of a measure in which the page bears a mark, the plan does not say that nothing stood out there.
func TestPlanAndPageAgreeWhereAHandLayOffAlongSeveralMeasures(t *testing.T) {
	out := outlined(t, "mill_wheel.musicxml", outline.Options{})
	said := func(p Plan) string { return strings.Join(p.Changed, " ") }
	plain := said(For(out, Options{Minutes: 30, Hearings: []*finding.Hearing{takeOf(out)}}))
	hardest := bringUps(For(out, Options{Minutes: 30}))[0].Range.Last
	require.Contains(t, plain, "Shortened")
	along := finding.Finding{Measure: out.Measures[hardest-1].Number, ToMeasure: out.Measures[hardest].Number, Kind: finding.SharpAfterShift, Value: 31, Trust: dsp.Sure, First: 0, Last: 9}
	require.True(t, along.Marked())
	other := out.Measures[hardest-1].Number
	if hardest < 2 {
		other = out.Measures[len(out.Measures)-1].Number
	}
	places := finding.Finding{Measure: other, ToMeasure: other, Kind: finding.Late, Value: 0.2, Trust: dsp.NotSure,
		Places: []finding.Place{{Measure: other}, {Measure: out.Measures[hardest].Number}}}
	for _, takes := range [][]*finding.Hearing{{takeOf(out, along)}, {takeOf(out, along), takeOf(out)}, {takeOf(out, places)}, {takeOf(out, places), takeOf(out)}} {
		for _, c := range For(out, Options{Minutes: 30, Hearings: takes}).Changed {
			if strings.Contains(c, "nothing stood out") {
				assert.NotRegexp(t, `\b`+out.Measures[hardest].Number+`\b`, c)
			}
		}
	}
}

func TestWhatCameBackGoesBeforeASlip(t *testing.T) {
	out := outlined(t, "mill_wheel.musicxml", outline.Options{})
	takes := []*finding.Hearing{
		takeOf(out, at("1", dsp.Sure), at("12", dsp.Fair)),
		takeOf(out, at("12", dsp.Fair)),
		takeOf(out, at("12", dsp.Fair)),
	}
	plan := For(out, Options{Minutes: 30, Hearings: takes})
	assert.True(t, bringUps(plan)[0].Range.Holds(11), "three times fairly sure weighs more than once sure")
	assert.Contains(t, strings.Join(plan.Changed, " "), "Heard in one take only, and so put after what came back: measure 1")
}

func TestASureFindingGoesBeforeAFairOne(t *testing.T) {
	out := outlined(t, "mill_wheel.musicxml", outline.Options{})
	plan := For(out, Options{Minutes: 30, Hearings: []*finding.Hearing{takeOf(out, at("1", dsp.Fair), at("12", dsp.Sure))}})
	assert.True(t, bringUps(plan)[0].Range.Holds(11))
}

// The steps of a bring-up, each three times with a measure of count-in, fill no
// more than its minutes, or the plan says where they end.
func TestTheStepsFitTheMinutesOrTheRestIsLeftForTomorrow(t *testing.T) {
	for _, name := range []string{"harbor_steps.musicxml", "mill_wheel.musicxml", "cart_track.abc", "ferry_bell.musicxml", "stone_bridge.abc"} {
		for _, minutes := range []int{10, 20, 30} {
			out := outlined(t, name, outline.Options{})
			for _, it := range For(out, Options{Minutes: minutes}).Items {
				if it.Work != WorkUp {
					continue
				}
				seconds, reached := 0.0, 0.0
				measures := quarters(out, it.Range) + out.Measures[it.Range.First].Quarters
				for tempo := it.TempoFrom; ; tempo = min(it.TempoTo, tempo+it.Step) {
					seconds += 3 * measures * 60 / tempo
					if seconds > 60*it.Minutes && reached > 0 {
						break
					}
					reached = tempo
					if tempo == it.TempoTo {
						break
					}
				}
				assert.InDelta(t, reached, it.Reaches, 1e-9, "%s %v", name, it.Measures)
				assert.Equal(t, it.Reaches < it.TempoTo, strings.Contains(it.Why, "the rest tomorrow"), it.Why)
			}
		}
	}
}

// A shift out of a whole note: at 72 it lasts 3.3 s, at 48 it would last 5, and a
// bow lasts 4. The shift is slowed, the whole note before it is not.
func TestALongNoteBesideAHardMeasureIsNotSlowed(t *testing.T) {
	p := &piece.Piece{Measures: []piece.Measure{
		inFour("1", 4, 43), inFour("2", 4, 45), inFour("3", 0.5, 45, 52, 45, 52, 45, 52, 45, 52), inFour("4", 4, 43)}}
	p.Measures[0].Tempos = []piece.Tempo{{QPM: 72}}
	out, err := outline.Of(p, outline.Options{Bow: outline.Bow{Longest: 4, OnLowest: 4}})
	require.NoError(t, err)
	plan := For(out, Options{})
	var worked []Item
	for _, it := range plan.Items {
		if it.Work == WorkUp {
			worked = append(worked, it)
		}
	}
	require.NotEmpty(t, worked)
	assert.Equal(t, [2]string{"3", "3"}, worked[0].Measures, "the long notes stay out of the slow range")
	assert.Less(t, worked[0].TempoFrom, 60.0)
	for _, it := range worked[1:] {
		assert.GreaterOrEqual(t, it.TempoFrom, 60.0, "measures %v: no slower than a bow of 4 seconds", it.Measures)
	}
	for _, it := range plan.Items {
		if it.Work == Join {
			assert.GreaterOrEqual(t, it.TempoFrom, it.Floor)
			assert.GreaterOrEqual(t, it.TempoFrom, 60.0, "a join is no slower than its long notes allow")
		}
	}
}

// inFour is a measure of 4/4 of notes so many quarter notes long.
func inFour(number string, quarters float64, pitches ...int) piece.Measure {
	m := piece.Measure{Number: number, Length: 4 * piece.Quarter, Time: piece.Time{Beats: 4, Unit: 4}}
	each := piece.Ticks(quarters * float64(piece.Quarter))
	for i, midi := range pitches {
		m.Notes = append(m.Notes, piece.Note{Start: piece.Ticks(i) * each, Length: each, MIDI: midi, Value: map[float64]string{4: "whole", 0.5: "eighth"}[quarters]})
	}
	return m
}

func TestInCompoundTimeTemposAreToldInDottedQuarters(t *testing.T) {
	m := inFour("1", 0.5, 38, 40, 41, 43, 45, 48)
	m.Length, m.Time = 3*piece.Quarter, piece.Time{Beats: 6, Unit: 8}
	p := &piece.Piece{Measures: []piece.Measure{m}}
	p.Measures[0].Tempos = []piece.Tempo{{QPM: 84}}
	out, err := outline.Of(p, outline.Options{})
	require.NoError(t, err)
	assert.Equal(t, "♩. = 56", out.Measures[0].Felt.Tempo(84))
	b := BringUp{From: 60, To: 84, Step: 6, Beat: out.Measures[0].Felt}
	s := b.Next(b.Next(b.Next(b.Start(), true), true), true)
	assert.Equal(t, 66.0, s.Tempo, "quarter notes a minute")
	assert.Contains(t, s.Said, "♩. = 44")
}

func TestAPlanBeginsWithSomethingEasyAndEndsWithPlaying(t *testing.T) {
	for _, name := range []string{"harbor_steps.musicxml", "mill_wheel.musicxml", "cart_track.abc", "ferry_bell.musicxml", "lamplight.musicxml"} {
		out := outlined(t, name, outline.Options{})
		plan := For(out, Options{Minutes: 20})
		first, last := plan.Items[0], plan.Items[len(plan.Items)-1]
		assert.Equal(t, PlayAlone, first.Work, name)
		for i := first.Range.First; i <= first.Range.Last; i++ {
			assert.Less(t, out.Measures[i].Hardness, hard, "%s, measure %s", name, out.Measures[i].Number)
		}
		assert.Contains(t, []Work{PlayAlone, Join}, last.Work, name)
		slow, hardest := -1, -1
		for i, it := range plan.Items {
			switch it.Work {
			case WorkUp:
				slow = i
			case Echo:
				if hardest < 0 {
					hardest = i
				}
			}
		}
		assert.Less(t, slow, hardest, "%s: the hardest comes after the slow work", name)
	}
}

func TestAfterATakeThePlanSaysWhatWasHeard(t *testing.T) {
	out := outlined(t, "mill_wheel.musicxml", outline.Options{})
	take := takeOf(out, at("12", dsp.Sure), at("12", dsp.Sure),
		finding.Finding{Measure: "12", ToMeasure: "12", Kind: finding.Flat, Trust: dsp.Sure})
	plan := For(out, Options{Minutes: 30, Hearings: []*finding.Hearing{take}})
	assert.Contains(t, bringUps(plan)[0].Why, "Measure 12: heard there: late twice, flat.")
}

func TestAPassageThatWentSlowerIsBroughtUpAsAWhole(t *testing.T) {
	out := outlined(t, "mill_wheel.musicxml", outline.Options{})
	slower := finding.Finding{Kind: finding.SlowerPassage, Measure: "3", ToMeasure: "5", Pass: 1, Beat: 1, Value: 0.7, Tolerance: 0.08, Notes: 10, Trust: dsp.Sure}
	worked := bringUps(For(out, Options{Minutes: 30, Hearings: []*finding.Hearing{takeOf(out, slower)}}))
	require.NotEmpty(t, worked)
	assert.Equal(t, WorkUp, worked[0].Work)
	for number := 2; number <= 4; number++ {
		assert.True(t, worked[0].Range.Holds(number), "measure %d", number+1)
	}
	assert.Contains(t, worked[0].Why, "heard there: slower passage.")
	for _, it := range For(out, Options{Minutes: 30, Hearings: []*finding.Hearing{takeOf(out, slower)}}).Items {
		assert.NotContains(t, it.Why, ": .", "wherever in it a measure is worked by itself, what was heard is said")
	}
}
