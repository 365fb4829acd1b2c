package finding_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece/finding"
	"endpin/piece/pupil"
)

// landingIn gives the landing in a measure.
func landingIn(t *testing.T, h *finding.Hearing, measure string) finding.Landing {
	t.Helper()
	for _, l := range h.Landings {
		if l.Measure == measure {
			return l
		}
	}
	require.Fail(t, "no landing", measure)
	return finding.Landing{}
}

func TestEveryShiftTellsWhereItLanded(t *testing.T) {
	p := play(t, harbour)
	p.detune(30, p.in(6, 7, p.stopped)...)
	h := p.listen()
	l := landingIn(t, h, "6")
	assert.InDelta(t, 30, l.Cents, 1)
	assert.Equal(t, "1", l.From)
	assert.Equal(t, "3", l.To)
	assert.Positive(t, l.Semitones, "toward the bridge")
	assert.InDelta(t, h.TempoHeard, l.QPM, 2)
	assert.Equal(t, finding.Listening, h.Listening)
	assert.InDelta(t, 0, landingIn(t, h, "3").Cents, 1, "the others landed where they should")
}

func TestAShiftWhoseNoteWasNotPlayedHasNoLanding(t *testing.T) {
	whole := play(t, harbour).listen()
	p := play(t, harbour)
	p.leaveOut(p.at("6:1"))
	h := p.listen()
	assert.Len(t, h.Landings, len(whole.Landings)-1)
}

// A landing has one definition: what is told of a hand says the cents that its landing has.
func TestALandingIsTheSameWhereverItIsTold(t *testing.T) {
	compared := 0
	for seed := range int64(60) {
		tune := pupil.Compose(pupil.Style{Marked: true, Measures: 16}, seed)
		faults := []pupil.Fault{pupil.BadShift(2, 9), pupil.BadShift(1, 1), pupil.CorrectedLanding}
		out := pupil.Player{Tune: tune, Level: pupil.Intermediate, Scatter: pupil.Careful, Seed: seed}.Play(faults...)
		h, err := finding.Judge(tune.Piece, out.Heard(), finding.Options{})
		require.NoError(t, err)
		for _, f := range kinds(h, finding.SharpAfterShift, finding.FlatAfterShift) {
			for _, l := range h.Landings {
				if l.Line == f.First {
					compared++
					assert.InDelta(t, f.Value, l.Cents, 0.05, "seed %d, measure %s", seed, f.Measure)
				}
			}
		}
	}
	assert.Greater(t, compared, 100)
}

func TestAPitchThatAlwaysSpeaksSharpIsNoLandingPutRight(t *testing.T) {
	p := play(t, harbour)
	begins := func(cents float64, notes ...int) {
		for _, i := range notes {
			for _, s := range p.of(i) {
				s.landing, s.settle = cents, 0.2
			}
		}
	}
	begins(-6, p.in(1, 12, every)...)
	begins(30, p.in(1, 12, func(i int) bool { return p.line[i].MIDI%12 == 0 })...) // every C
	assert.Empty(t, told(p.listen()))
	begins(-6, p.in(1, 12, every)...)
	begins(30, p.at("6:1"))
	assert.Equal(t, []string{"sharp_after_shift 6"}, told(p.listen()))
}
