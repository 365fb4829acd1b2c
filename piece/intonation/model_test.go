package intonation_test

import (
	"math/rand"
	"testing"

	"github.com/stretchr/testify/assert"

	"endpin/dsp"
	"endpin/piece/intonation"
)

// row is notes of one frame on one string, a semitone or so apart.
func row(frame, str int, cents ...float64) (notes []intonation.Note) {
	for _, c := range cents {
		notes = append(notes, intonation.Note{Cents: c, SD: 2, String: str, Frame: frame})
	}
	return notes
}

func open(str int, cents ...float64) (notes []intonation.Note) {
	for _, c := range cents {
		notes = append(notes, intonation.Note{Cents: c, SD: 2, String: str, Open: true, Frame: -1})
	}
	return notes
}

func take(parts ...[]intonation.Note) (all []intonation.Note) {
	for _, p := range parts {
		all = append(all, p...)
	}
	return all
}

func TestAHandOffItsPlaceIsOneCauseAndMovesNoReference(t *testing.T) {
	m := intonation.Explain(take(open(2, 1, 0), row(0, 2, 2, -3, 1), row(1, 2, 31, 29, 33, 30), open(1, 0)), nil)
	assert.InDelta(t, 0, m.A, 3)
	assert.Equal(t, dsp.Sure, m.Trust)
	hand, sd := m.Effect(intonation.OfFrame(1))
	assert.InDelta(t, 30, hand, 5)
	assert.Less(t, sd, 6.0)
	at := func(r *intonation.Reading) float64 { return r.Of(intonation.OfFrame(1)) }
	assert.Equal(t, dsp.Sure, m.Beyond(18, sd, at))
	assert.Equal(t, dsp.NotSure, m.Beyond(hand, sd, at), "as likely less as more")
}

func TestAllOfItHighIsTheReference(t *testing.T) {
	m := intonation.Explain(take(open(2, 21, 20), row(0, 2, 22, 17, 21), row(1, 1, 19, 23, 20), open(1, 20)), nil)
	assert.InDelta(t, 20, m.A, 3)
	hand, _ := m.Effect(intonation.OfFrame(1))
	assert.InDelta(t, 0, hand, 3)
}

func TestOneFrameAloneTellsNoReferenceButByOneGiven(t *testing.T) {
	notes := row(0, 2, 30, 31, 29, 0)
	m := intonation.Explain(notes, nil)
	assert.False(t, m.Own)
	assert.Equal(t, dsp.NotSure, m.Trust)
	m = intonation.Explain(notes, &intonation.Prior{A: 0, SD: 1})
	assert.True(t, m.Given)
	assert.InDelta(t, 0, m.A, 5)
	hand, _ := m.Effect(intonation.OfFrame(0))
	assert.InDelta(t, 28, hand, 6)
}

func TestNothingHeardIsNothingKnown(t *testing.T) {
	m := intonation.Explain(nil, nil)
	assert.Equal(t, dsp.NotSure, m.Trust)
	assert.Zero(t, m.Likeliest().Of(intonation.Span))
}

func TestAReferenceThatNobodyHeardIsBorneOutByHandsInTwoPlaces(t *testing.T) {
	supposed := &intonation.Prior{A: 0, SD: 20, Supposed: true}
	in := func(off float64) []intonation.Note {
		return take(row(0, 1, off+3, off+8), row(1, 1, off-3, off-5, off+2, off-6))
	}
	m := intonation.Explain(in(0), supposed)
	assert.Equal(t, dsp.Fair, m.Trust, "never sure: nobody heard it")
	assert.InDelta(t, 0, m.A, 6)
	assert.Equal(t, dsp.NotSure, intonation.Explain(in(30), supposed).Trust, "the bass, or the hand: nobody knows")
	assert.Equal(t, dsp.NotSure, intonation.Explain(row(0, 1, 1, 0, -2), supposed).Trust, "one hand is no two")

	r := rand.New(rand.NewSource(8117))
	const takes = 200
	var fair, wrong int
	for range takes {
		hands := func(by float64) (all []intonation.Note) {
			for frame := range 2 + r.Intn(2) {
				lies := by + 3*r.NormFloat64()
				for range 2 + r.Intn(3) {
					all = append(all, row(frame, 1, lies+5*r.NormFloat64())...)
				}
			}
			return all
		}
		if intonation.Explain(hands(0), supposed).Trust == dsp.Fair {
			fair++
		}
		if off := 25 + 20*r.Float64(); intonation.Explain(hands(off), supposed).Trust != dsp.NotSure {
			wrong++
		}
	}
	assert.Greater(t, fair, takes*3/4)
	assert.Less(t, wrong, takes/50)
	t.Logf("of %d in tune %d are fair, of as many with every hand 25 to 45 cents off %d", takes, fair, wrong)
}
