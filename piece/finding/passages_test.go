package finding_test

import (
	"math"
	"math/rand"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp"
	"endpin/piece/finding"
	"endpin/piece/pupil"
)

// slower plays measures from..to (whole ones of four quarters) at a share of the pace.
func (p *player) slower(share float64, from, to int) *player {
	a, b := 4*p.quarter*float64(from-1), 4*p.quarter*float64(to)
	return p.bend(func(s float64) float64 {
		in := math.Min(b, math.Max(a, s)) - a
		return s + in*(1/share-1)
	})
}

func TestAPassageAtAnotherPaceIsToldOnceAndNothingElse(t *testing.T) {
	for _, share := range []float64{0.65, 0.76, 0.88, 1.25} {
		for _, at := range [][2]int{{2, 4}, {5, 7}, {6, 6}} {
			h := play(t, harbour).slower(share, at[0], at[1]).listen()
			kind := finding.SlowerPassage
			if share > 1 {
				kind = finding.FasterPassage
			}
			found := kinds(h, kind)
			if assert.Len(t, found, 1, "%.2f in %v: %v", share, at, told(h)) {
				assert.Len(t, h.Findings, 1)
				assert.InDelta(t, share, found[0].Value, 0.03*share)
				assert.InDelta(t, 80, h.TempoHeard, 1)
			}
		}
	}
}

func TestWhereTwoPacesCoverAsMuchThePassageIsTheOneFartherFromTheTempoAsked(t *testing.T) {
	h := play(t, harbour).slower(0.76, 7, 12).listen()
	assert.Equal(t, []string{"slower_passage 7-12"}, told(h))
	h = play(t, harbour).slower(0.76, 7, 12).hear(finding.Options{QPM: 61})
	assert.Equal(t, []string{"faster_passage 1-6"}, told(h))
}

func TestAWrittenRitardandoIsFollowed(t *testing.T) {
	free := replace(harbour, `"I"!1!A, !4!B, !1!A, G, |`, `"^rit.""I"!1!A, !4!B, !1!A, G, |`, "\nD, !1!E, !4!F,", "\n\"^a tempo\"D, !1!E, !4!F,")
	assert.NotEqual(t, harbour, free)
	assert.Equal(t, []string{"slower_passage 4"}, told(play(t, harbour).slower(0.6, 4, 4).listen()))
	assert.Empty(t, told(play(t, free).slower(0.6, 4, 4).listen()))
	assert.Equal(t, []string{"slower_passage 5-6"}, told(play(t, free).slower(0.6, 5, 6).listen()), "in tempo again")
}

func TestTheBeatGoesOnFromTheNoteAfterAFermata(t *testing.T) {
	held := replace(harbour, `!1!A, G, |`, `!1!A, !fermata!G, |`)
	h := play(t, held).putOff(2, "5:1").listen()
	assert.Empty(t, told(h))
	for i := range h.Notes {
		assert.InDelta(t, 0, *h.Notes[i].LateMS, 50, "measure %s, beat %g", h.Notes[i].Measure, h.Notes[i].Beat)
	}
}

func TestAWaitIsAPauseAndThreeAreToldOnce(t *testing.T) {
	f := only(t, play(t, harbour).putOff(0.8, "6:3").listen(), finding.Paused, "6")
	assert.InDelta(t, 0.6, f.Value, 0.05)
	assert.Equal(t, 3.0, f.Beat)
	f = only(t, play(t, harbour).putOff(8, "6:3").listen(), finding.Paused, "6")
	assert.InDelta(t, 6, f.Value, 0.05)
	h := play(t, harbour).putOff(0.8, "3:1").putOff(1.2, "6:1").putOff(0.7, "8:1").listen()
	f = only(t, h, finding.Paused, "3-8")
	assert.InDelta(t, 0.9, f.Value, 0.05, "the longest")
	assert.Len(t, f.Places, 2)
	assert.Contains(t, f.Text, "before shifts")
}

// A beat too many after a half note is a beat miscounted; one of a player who waits elsewhere
// too, and that is as long as the other waits, is a wait.
func TestAWaitOfAboutABeatIsAWaitWhereThePlayerWaitsElsewhere(t *testing.T) {
	only(t, play(t, harbour).putOff(1, "9:1").listen(), finding.WrongRhythm, "8-9")
	h := play(t, harbour).putOff(0.85, "3:1").putOff(0.85, "6:3").putOff(0.85, "9:1").listen()
	f := only(t, h, finding.Paused, "3-9")
	assert.Len(t, f.Places, 2)
}

func TestThreeNotesOfAMeasureAtAnotherPaceAreAPassageThatIsFairlySure(t *testing.T) {
	three := replace(harbour, `"I"!1!A, !4!B, !1!A, G, |`, `"I"!1!A, !4!B, !1!A,2 |`)
	f := only(t, play(t, three).slower(0.65, 4, 4).listen(), finding.SlowerPassage, "4")
	assert.InDelta(t, 0.65, f.Value, 0.03)
	assert.Equal(t, dsp.Fair, f.Trust)
}

func TestNotesLetGoEarlyAllThroughAreOneManner(t *testing.T) {
	p := play(t, harbour)
	for k := range p.sounds {
		s := &p.sounds[k]
		s.end = s.onset + 0.5*(s.end-s.onset)
	}
	f := only(t, p.listen(), finding.HeldShort, "1-12")
	assert.InDelta(t, 0.5, f.Value, 0.05)
}

func TestAKeySignatureForgottenIsOneFindingWithItsReason(t *testing.T) {
	p := play(t, harbour)
	p.detune(-100, p.in(1, 12, func(i int) bool { return p.line[i].MIDI%12 == 6 })...) // F# as F
	h := p.listen()
	found := kinds(h, finding.WrongNote)
	if assert.Len(t, found, 1, "%v", told(h)) {
		assert.Contains(t, found[0].Text, "F is sharp in this key")
		assert.Equal(t, dsp.Sure, found[0].Trust)
	}
}

// A hand that has nothing else to play than notes of the key forgotten is no hand off its
// place, and one that has, and lies a semitone off, forgot no key.
func TestAKeyForgottenIsAllThatIsToldOfIt(t *testing.T) {
	for seed := range int64(40) {
		tune := pupil.Compose(pupil.Style{Marked: true, Measures: 16}, seed)
		out := pupil.Player{Tune: tune, Level: pupil.Intermediate, Scatter: pupil.Careful, Seed: seed}.Play(pupil.KeyForgotten)
		h, err := finding.Judge(tune.Piece, out.Heard(), finding.Options{})
		require.NoError(t, err)
		assert.Len(t, h.Findings, len(out.Expected), "seed %d: %v", seed, told(h))
	}
	p := play(t, harbour)
	p.detune(-100, p.in(6, 7, p.stopped)...)
	only(t, p.listen(), finding.FlatAfterShift, "6-7")
}

func TestNotesLateAfterMostShiftsAreOneManner(t *testing.T) {
	planted := 0
	for seed := range int64(60) {
		tune := pupil.Compose(pupil.Style{Marked: true, Measures: 16}, seed)
		out := pupil.Player{Tune: tune, Level: pupil.Intermediate, Scatter: pupil.Careful, Seed: seed}.Play(pupil.LateAfterShifts)
		if len(out.Expected) == 0 {
			continue
		}
		planted++
		h, err := finding.Judge(tune.Piece, out.Heard(), finding.Options{})
		require.NoError(t, err)
		found := kinds(h, finding.Late)
		require.Len(t, found, 1, "seed %d: %v", seed, told(h))
		assert.Equal(t, [2]string{tune.Line[0].Number, tune.Line[len(tune.Line)-1].Number}, [2]string{found[0].Measure, found[0].ToMeasure})
		assert.InDelta(t, out.Expected[0].Value, found[0].Value, 30)
		assert.Contains(t, found[0].Text, "After shifts")
	}
	assert.GreaterOrEqual(t, planted, 5)
}

// Whether the pace turned at once or little by little says by how much a note there is late.
func TestALateNoteWhereThePaceTurnsIsNotSure(t *testing.T) {
	for at, trust := range map[string]dsp.Trust{"8:3": dsp.Fair, "10:3": dsp.Sure} {
		h := play(t, harbour).slower(0.76, 5, 7).late(400, at).listen()
		late := kinds(h, finding.Late)
		require.Len(t, late, 1, "%s: %v", at, told(h))
		assert.Equal(t, trust, late[0].Trust, at)
	}
}

// Scatter grows, and with it how many notes are said to be off pitch, at each level; and a
// stricter level says so of no fewer.
func TestMoreScatterNeverExplainsLess(t *testing.T) {
	levels := []finding.Level{finding.FirstYear, finding.Intermediate, finding.Advanced}
	const steps = 12
	for seed := range int64(4) {
		var before [steps + 1][]int // notes, by level
		for k := range steps + 1 {
			for _, l := range levels {
				p := play(t, harbour)
				scatter(p, rand.New(rand.NewSource(seed)), 45*float64(k)/steps, 0)
				h := p.hear(finding.Options{Level: l})
				notes := map[int]bool{}
				for i := range h.Findings {
					if f := &h.Findings[i]; f.Kind.Row().Unit == finding.Cents && f.Kind != finding.Tuning || f.Kind == finding.WrongNote {
						for n := f.First; n <= f.Last; n++ {
							if p.stopped(n) {
								notes[n] = true
							}
						}
					}
				}
				before[k] = append(before[k], len(notes))
			}
		}
		for k := range steps + 1 {
			assert.IsNonDecreasing(t, before[k], "seed %d, step %d, from level to level", seed, k)
			for l := range levels {
				if k > 0 {
					assert.GreaterOrEqual(t, before[k][l], before[k-1][l], "seed %d, step %d, %s", seed, k, levels[l].Name)
				}
			}
		}
	}
}

// inTimeExplained are the notes that findings of time explain.
func inTimeExplained(h *finding.Hearing) map[int]bool {
	notes := map[int]bool{}
	for i := range h.Findings {
		f := &h.Findings[i]
		if f.Kind.Row().About == finding.WholeTake || f.Kind == finding.NotSure {
			continue
		}
		for k := f.First; k <= f.Last; k++ {
			notes[k] = true
		}
	}
	return notes
}

func TestAWorseTakeNeverExplainsLess(t *testing.T) {
	levels := []finding.Level{finding.FirstYear, finding.Intermediate, finding.Advanced}
	knobs := map[string]func(x float64) *player{
		"the depth of a slowing": func(x float64) *player { return play(t, harbour).slower(1-0.4*x, 5, 7) },
		"how long a wait is":     func(x float64) *player { return play(t, harbour).putOff(4*x*x, "6:3") },
		"how many notes are short": func(x float64) *player {
			p := play(t, harbour)
			for k := range p.sounds {
				if s := &p.sounds[k]; float64((k*7)%len(p.sounds)) < x*float64(len(p.sounds)) {
					s.end = s.onset + 0.4*(s.end-s.onset)
				}
			}
			return p
		},
	}
	knobs["how late the notes after shifts come"] = func(x float64) *player {
		p := play(t, harbour)
		for _, shift := range p.plan.Shifts {
			for _, s := range p.of(shift.Note) {
				s.onset += 0.3 * x
			}
		}
		return p
	}
	const steps = 12
	for name, turned := range knobs {
		for _, l := range levels {
			before := 0
			for k := range steps + 1 {
				now := len(inTimeExplained(turned(float64(k) / steps).hear(finding.Options{Level: l})))
				assert.GreaterOrEqual(t, now, before, "%s, %s, step %d", name, l.Name, k)
				before = now
			}
		}
		for k := range steps + 1 {
			var milder map[int]bool
			for _, l := range levels {
				now := inTimeExplained(turned(float64(k) / steps).hear(finding.Options{Level: l}))
				for i := range milder {
					assert.True(t, now[i], "%s, step %d: note %d is told at a milder level and not at %s", name, k, i, l.Name)
				}
				milder = now
			}
		}
	}
}

func TestATakeOfOnsetsAloneIsHeardAsItIsPlayed(t *testing.T) {
	tune := pupil.Compose(pupil.Style{Marked: true}, 7)
	out := pupil.Player{Tune: tune, Level: pupil.Intermediate, Scatter: pupil.Careful, Seed: 7}.Play(pupil.Breathing)
	h, err := finding.Judge(tune.Piece, out.Heard(), finding.Options{})
	assert.NoError(t, err)
	assert.Empty(t, told(h))
}
