package finding_test

import (
	"fmt"
	"math"
	"math/rand"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp"
	"endpin/piece/finding"
)

// studyOnD lies mostly on the D string: 20 of its 28 notes.
const studyOnD = header + `
"I"D, !1!E, !4!F, !1!E, | !2!^E, !4!F, !1!E, D, | "III"!1!G, !4!A, !1!G, !4!A, | "I"!1!E, !4!F, !1!E, D, |
A,, !1!B,, !2!C, D, | !1!E, !4!F, G, !1!A, | !4!F, !1!E, D,2 |]
`

func TestOneStringOutIsNotTheWholeBassThoughMostIsPlayedOnIt(t *testing.T) {
	for seed := range int64(20) {
		for _, off := range []float64{-24, 24} {
			p := play(t, studyOnD)
			wobble(p, rand.New(rand.NewSource(seed)), 3)
			on := p.in(1, 7, p.onString(2))
			require.Greater(t, 3*len(on), 2*len(p.line), "most lies on the D string")
			p.detune(off, on...)
			h := p.listen()
			var kinds []string
			for _, f := range h.Findings {
				if f.Kind != finding.NotSure {
					kinds = append(kinds, string(f.Kind))
					assert.Contains(t, f.Text, "D string")
					assert.InDelta(t, off, f.Value, 5)
				}
			}
			assert.Equal(t, []string{"tuning"}, kinds, "seed %d, %g", seed, off)
			assert.InDelta(t, 440, h.HeardA, 1.5)
		}
	}
}

func TestANoteInTuneOnAStringThatIsNotIsNotFlat(t *testing.T) {
	p := play(t, studyOnD)
	p.detune(30, p.in(1, 7, p.onString(2))...)
	p.detune(-30, p.at("6:1"))
	assert.Equal(t, []string{"tuning 1-7"}, told(p.listen()), "the ear put it right")
	p.detune(-30, p.at("6:1"))
	assert.Equal(t, []string{"tuning 1-7", "flat 6"}, told(p.listen()))
}

// wobble scatters the stopped notes, and the open ones by half a cent.
func wobble(p *player, rng *rand.Rand, cents float64) *player {
	for k := range p.sounds {
		s := &p.sounds[k]
		sd := 0.5
		if s.note >= 0 && p.stopped(s.note) {
			sd = cents
		}
		s.midi += sd / 100 * rng.NormFloat64()
	}
	return p
}

// One measure of it, in third position: no open string, one frame.
const oneMeasure = header + `
"III"!1!C !4!D !1!C !4!D | !4!D !1!C !4!D2 |]
`

func TestOneFrameAloneTellsNoReference(t *testing.T) {
	p := play(t, oneMeasure)
	p.detune(30, p.in(1, 2, p.stopped)...)
	p.detune(-30, p.at("2:2")) // the one note in tune
	h := p.listen()
	assert.Equal(t, dsp.NotSure, h.HeardATrust)
	assert.Empty(t, kinds(h, finding.Tuning, finding.Flat, finding.FlatAfterShift), "%v", told(h))
	for _, f := range h.Findings {
		assert.Equal(t, dsp.NotSure, f.Trust, f.Text)
	}
}

func TestAReferenceGivenTellsWhatOneFrameAloneCannot(t *testing.T) {
	p := play(t, oneMeasure)
	p.detune(30, p.in(1, 2, p.stopped)...)
	given := finding.Options{Given: finding.Reference{A4: 440.5, SD: 1, From: "monday.flac"}}
	h := p.hear(given)
	assert.Equal(t, "monday.flac", h.AFrom)
	assert.NotEqual(t, dsp.NotSure, h.HeardATrust)
	require.Equal(t, []string{"sharp 1-2"}, told(h))
	assert.InDelta(t, 28, h.Findings[0].Value, 4)

	whole := play(t, harbour)
	h = whole.hear(finding.Options{Given: finding.Reference{A4: 452, SD: 1, From: "monday.flac"}})
	assert.Empty(t, h.AFrom, "a take with open strings and four frames tells its own")
	assert.Empty(t, told(h))
	assert.InDelta(t, 440, h.HeardA, 0.5)
}

func TestWhatIsAnotherNoteStandsInEitherReading(t *testing.T) {
	p := play(t, oneMeasure)
	p.detune(30, p.in(1, 2, p.stopped)...)
	p.detune(-200, p.at("2:2"))
	assert.Len(t, kinds(p.listen(), finding.WrongNote), 1)
}

func TestTheReferenceIsAsUncertainAsItIsSaid(t *testing.T) {
	const takes = 200
	inside, sure, wrong := 0, 0, 0
	rng := rand.New(rand.NewSource(77))
	for range takes {
		p := play(t, []string{harbour, studyOnD, noOpenStrings, twoNoteFrame, oneMeasure}[rng.Intn(5)])
		off := 12 * rng.NormFloat64()
		p.detune(off, p.in(1, 12, every)...)
		wobble(p, rng, 3+8*rng.Float64())
		frames := map[int]float64{} // hands land by a few cents beside their place
		for k := range p.sounds {
			if i := p.sounds[k].note; p.stopped(i) {
				f := p.plan.Notes[i].Frame
				if _, known := frames[f]; !known {
					frames[f] = 5 * rng.NormFloat64()
				}
				p.sounds[k].midi += frames[f] / 100
			}
		}
		h := p.listen()
		miss := math.Abs(cents(h.HeardA/440) - off)
		if miss <= 2*h.HeardASD {
			inside++
		}
		if h.HeardATrust == dsp.Sure {
			sure++
			if miss > 10 {
				wrong++
			}
		}
	}
	t.Logf("%d of %d within two standard deviations; sure of %d, %d of them more than 10 cents off", inside, takes, sure, wrong)
	assert.GreaterOrEqual(t, inside, takes*90/100)
	assert.LessOrEqual(t, wrong*50, sure)
	assert.GreaterOrEqual(t, sure, takes/2)
}

func TestNotesScatteredAllOverAreOneFinding(t *testing.T) {
	for _, c := range []struct {
		level finding.Level
		sd    float64
		told  bool
	}{
		{finding.Intermediate, 25, true}, {finding.Intermediate, 32, true}, {finding.Intermediate, 10, false},
		{finding.FirstYear, 30, true}, {finding.FirstYear, 40, true}, {finding.FirstYear, 14, false},
	} {
		t.Run(fmt.Sprint(c.level.Name, " ", c.sd), func(t *testing.T) {
			const takes = 40
			found := 0
			for seed := range int64(takes) {
				p := wobble(play(t, harbour), rand.New(rand.NewSource(5000+seed)), c.sd)
				h := p.hear(finding.Options{Level: c.level})
				found += len(kinds(h, finding.Uneven))
				if c.told && len(kinds(h, finding.Uneven)) > 0 {
					assert.LessOrEqual(t, len(h.Findings), 3, "told once, and little beside it: %v", told(h))
				}
			}
			t.Logf("told in %d of %d", found, takes)
			if c.told {
				assert.GreaterOrEqual(t, found*20, takes*19)
			} else {
				assert.Zero(t, found)
			}
		})
	}
}

// explained are the notes that findings of pitch cover.
func explained(h *finding.Hearing) map[int]bool {
	covered := map[int]bool{}
	for _, f := range h.Findings {
		switch f.Kind {
		case finding.Sharp, finding.Flat, finding.SharpAfterShift, finding.FlatAfterShift, finding.NarrowHand, finding.WideHand, finding.Uneven, finding.WrongNote:
			for i := f.First; i <= f.Last; i++ {
				covered[i] = true
			}
		}
	}
	return covered
}

// Turning one knob: the more notes scatter, the more of them is explained.
func TestWorsePlayingIsNeverToldInFewerNotes(t *testing.T) {
	const takes = 24
	before := 0.0
	for _, sd := range []float64{0, 4, 8, 12, 16, 20, 24, 28, 32, 36, 40} {
		sum := 0
		for seed := range int64(takes) {
			p := wobble(play(t, harbour), rand.New(rand.NewSource(40+seed)), sd)
			sum += len(explained(p.listen()))
		}
		now := float64(sum) / takes
		t.Logf("scatter %2.0f cents: %.1f notes explained", sd, now)
		assert.GreaterOrEqual(t, now, before-0.2, "%v", sd)
		before = now
	}
	assert.Greater(t, before, 30.0)
}

// And of one hand: the farther it lies off its place, the more surely it is told.
func TestAHandFartherOffIsNeverToldLess(t *testing.T) {
	for seed := range int64(6) {
		before, trust := 0, ""
		for cents := 0.0; cents <= 150; cents += 5 {
			p := wobble(play(t, harbour), rand.New(rand.NewSource(seed)), 5)
			p.detune(cents, p.in(6, 7, p.stopped)...)
			h := p.listen()
			now := len(explained(h))
			assert.GreaterOrEqual(t, now, before, "seed %d, %v cents: %v", seed, cents, told(h))
			for _, f := range kinds(h, finding.SharpAfterShift) {
				if trust == "sure" {
					assert.Equal(t, dsp.Sure, f.Trust, "%v", cents)
				}
				trust = string(f.Trust)
			}
			before = now
		}
		assert.Equal(t, "sure", trust)
	}
}

func TestAStricterLevelNeverExplainsLess(t *testing.T) {
	levels := []finding.Level{finding.FirstYear, finding.Intermediate, finding.Advanced}
	for seed := range int64(60) {
		rng := rand.New(rand.NewSource(3000 + seed))
		sd, off := 2+20*rng.Float64(), 60*rng.NormFloat64()
		note := rng.Intn(30)
		var milder map[int]bool
		for _, l := range levels {
			p := wobble(play(t, harbour), rand.New(rand.NewSource(seed)), sd)
			p.detune(off, p.in(6, 7, p.stopped)...)
			p.detune(45, note)
			now := explained(p.hear(finding.Options{Level: l}))
			for i := range milder {
				assert.True(t, now[i], "seed %d, scatter %.0f, hand %.0f: note %d is told at a milder level and not at %s", seed, sd, off, i, l.Name)
			}
			milder = now
		}
	}
}
