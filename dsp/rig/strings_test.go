package rig

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp"
)

func playStrings(t *testing.T, b Strings, notes ...Note) *Take {
	t.Helper()
	take, err := b.Play(Plan{TempoQPM: 60, GapS: 3, Notes: notes})
	require.NoError(t, err)
	return take
}

// levelAt is the RMS level over a tenth of a second, dB.
func levelAt(take *Take, at float64) float64 {
	part := &Take{Samples: take.Samples[int(at*Rate):int((at+0.1)*Rate)]}
	return part.Loudness()
}

func TestModelledStringsSoundThePitchAsked(t *testing.T) {
	for _, b := range []Strings{{Seed: 1}, {Seed: 2, Ring: 0.7}, {Seed: 3, Plucked: true}} {
		for _, n := range []Note{{MIDI: 28}, {MIDI: 36, Cents: 30}, {MIDI: 43, Cents: -20}, {MIDI: 52}} {
			n.DurBeats = 1.5
			take := playStrings(t, b, n)
			n := take.Truth.Notes[0]
			hz := Frequency(take.Samples, n.OnsetS+0.3, n.OffsetS-0.1, n.FreqHz)
			assert.InDelta(t, 0, dsp.Interval(n.FreqHz, hz), 2.5, "%+v, %+v", b, n.Note) // the bow strays by 2.5 cents at a moment
		}
	}
}

func TestAnOpenStringRingsLongerThanOneUnderAFinger(t *testing.T) {
	take := playStrings(t, Strings{Seed: 4, Ring: 0.7}, Note{MIDI: 33, String: 3, DurBeats: 1})
	stopped := playStrings(t, Strings{Seed: 4, Ring: 0.7}, Note{MIDI: 35, String: 3, DurBeats: 1})
	end := take.Truth.Notes[0].OffsetS
	assert.Greater(t, levelAt(take, end+1), levelAt(take, end-0.2)-25)
	assert.Less(t, levelAt(stopped, end+1), levelAt(take, end+1)-10)
}

func TestTheBodyHardlyRadiatesTheLowestFundamentals(t *testing.T) {
	var under float64
	for seed := range int64(10) {
		take := playStrings(t, Strings{Seed: seed}, Note{MIDI: 29, DurBeats: 2})
		n := take.Truth.Notes[0]
		_, first := partialFrequency(take.Samples, n.OnsetS+0.3, n.OffsetS-0.1, n.FreqHz, 1)
		_, second := partialFrequency(take.Samples, n.OnsetS+0.3, n.OffsetS-0.1, n.FreqHz, 2)
		under += 20 * math.Log10(second/first) / 10
	}
	assert.InDelta(t, 20, under, 8)
}

func TestAHallDiesAwayAsItSays(t *testing.T) {
	click := &Take{Samples: make([]float32, 2*Rate)}
	click.Samples[0] = 1
	click.Hall(0.8, 0, 1)
	assert.InDelta(t, 60*0.4/0.8, levelAt(click, 0.1)-levelAt(click, 0.5), 5) // bands differ
}

func TestTheSameSeedIsTheSamePlayer(t *testing.T) {
	notes := []Note{{MIDI: 33, DurBeats: 1}, {MIDI: 40, OnsetBeat: 1, DurBeats: 1}}
	a, b := playStrings(t, Strings{Seed: 5}, notes...), playStrings(t, Strings{Seed: 5}, notes...)
	assert.Equal(t, a.Samples, b.Samples)
	_, err := Strings{}.Play(Plan{TempoQPM: 60, Notes: []Note{{MIDI: 27, DurBeats: 1}}})
	assert.ErrorContains(t, err, "below the lowest string")
}
