package finding_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece"
	"endpin/piece/align"
	"endpin/piece/finding"
	"endpin/piece/fingerboard"
)

// movedBy plays the whole of harbour so many cents from where its page is read.
func movedBy(t *testing.T, cents float64) *player {
	p := play(t, harbour)
	return p.detune(cents, p.in(1, 12, every)...)
}

func remarked(t *testing.T, h *finding.Hearing) string {
	t.Helper()
	require.NotEmpty(t, h.Remarks)
	return h.Remarks[len(h.Remarks)-1]
}

func TestASoloTuningThatTheFileDoesNotTellIsOneRemark(t *testing.T) {
	p := movedBy(t, 200).detune(40, play(t, harbour).at("5:2"))
	h := p.listen()
	assert.Equal(t, "The whole take sounds 2 semitones higher than the page is read for the double bass, and is judged there: where that is right, ask for it with --instrument bass-solo.", remarked(t, h))
	assert.Equal(t, []string{"sharp 5"}, told(h), "a fault in it is told as always")
	assert.InDelta(t, 440, h.HeardA, 0.5)
	for _, n := range h.Notes {
		assert.Equal(t, n.MIDI, *n.HeardMIDI)
		assert.InDelta(t, float64(n.MIDI), h.Target(&n, p.heard()), 0.1, "where it belongs")
	}
	solo := fingerboard.SoloBass()
	p = movedBy(t, -200)
	p.piece.Transposed = solo.Printed
	h = p.hear(finding.Options{Instrument: &solo})
	assert.Contains(t, strings.Join(h.Remarks, " "), "ask for it with --instrument bass.", "or the other way round")
}

func TestAReferenceASemitoneOffIsATuningAndNoOtherPiece(t *testing.T) {
	for _, a := range []float64{392, 415, 422, 466} {
		h := movedBy(t, cents(a/440)).listen()
		f := only(t, h, finding.Tuning, "1-12")
		assert.InDelta(t, cents(a/440), f.Value, 2)
		assert.InDelta(t, a, h.HeardA, 0.5)
		assert.Equal(t, 440.0, h.ReferenceA)
		assert.Contains(t, remarked(t, h), "--a4 ", "%g", a)
		for _, n := range h.Notes {
			assert.Equal(t, n.MIDI, *n.HeardMIDI)
		}
	}
}

func TestAPageInAnotherKeyIsOneRemark(t *testing.T) {
	for _, by := range []float64{-10, -7, -5, 3, 5, 7, 9} {
		h := movedBy(t, 100*by).listen()
		assert.Contains(t, remarked(t, h), "semitones "+map[bool]string{true: "higher", false: "lower"}[by > 0], "%g", by)
		assert.Empty(t, told(h))
	}
}

func TestAnotherPieceIsNotThisOneInAnotherKey(t *testing.T) {
	for _, tune := range []string{eighths, rests, harbour} {
		for _, other := range []string{eighths, rests, harbour} {
			if tune == other {
				continue
			}
			h, err := finding.Judge(play(t, tune).piece, play(t, other).heard(), finding.Options{})
			if err != nil {
				assert.ErrorIs(t, err, align.ErrNothing)
				continue
			}
			assert.NotContains(t, strings.Join(h.Remarks, " "), "judged", "%s for %s", other, tune)
		}
	}
}

func TestAPageTwoOctavesAwayIsOneRemark(t *testing.T) {
	h := movedBy(t, 2400).listen()
	assert.Contains(t, remarked(t, h), "sounds two octaves higher")
	assert.Empty(t, told(h))
}

// Another option does not change what a file says: it would be no mend.
func TestOfAFileThatSaysHowItSoundsItIsSaidWhoPlaysSo(t *testing.T) {
	p := movedBy(t, 200)
	p.piece.Supposed = false
	said := "The whole take sounds 2 semitones higher than the file says, and is judged there: so sounds a double bass in solo tuning that plays from this page."
	assert.Equal(t, said, remarked(t, p.listen()))
	solo := fingerboard.SoloBass()
	h := p.hear(finding.Options{Instrument: &solo})
	assert.Equal(t, said, remarked(t, h))
	for i, n := range play(t, harbour).listen().Notes {
		assert.Equal(t, n.String, h.Notes[i].String, "who reads the page in another tuning fingers it as the page stands: %s", n.Measure)
		assert.Equal(t, n.Finger, h.Notes[i].Finger)
	}
}

func TestThePartsOwnInstrumentIsAskedFor(t *testing.T) {
	p := movedBy(t, 1200)
	assert.Contains(t, remarked(t, p.listen()), "--instrument cello", "the first that reads so")
	p.piece.Parts = []piece.Part{{For: "violin", Taken: true}}
	assert.Contains(t, remarked(t, p.listen()), "--instrument violin")
}
