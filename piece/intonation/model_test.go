package intonation_test

import (
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
