package transcription_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp"
	"endpin/dsp/rig"
	"endpin/piece/transcription"
)

// onRecordedNotes plays pitches, half a second each, on recorded notes of a real bass.
func onRecordedNotes(t *testing.T, kind string, pitches ...int) *rig.Take {
	if testing.Short() {
		t.Skip("hears a take")
	}
	b, err := rig.LoadRealBass(kind)
	require.NoError(t, err)
	p := rig.Plan{TempoQPM: 120}
	for i, m := range pitches {
		p.Notes = append(p.Notes, rig.Note{Measure: "1", Beat: 1, MIDI: m, OnsetBeat: float64(i), DurBeats: 1})
	}
	take, err := b.Play(p)
	require.NoError(t, err)
	return take
}

// heardAs are the semitones that a take is heard as, by the track alone and as they are written.
func heardAs(t *testing.T, take *rig.Take) (track, written []int) {
	h, err := dsp.Listen(&dsp.Samples{SampleRate: rig.Rate, Data: take.Samples}, dsp.Bass)
	require.NoError(t, err)
	for _, n := range h.Notes {
		track = append(track, int(math.Round(n.Pitch)))
	}
	for _, s := range transcription.Heard(h, 28) {
		if !s.Soft {
			written = append(written, int(math.Round(s.Pitch)))
		}
	}
	return track, written
}

// Its neck and body draw the track of a plucked G, A or B some 80 cents down.
func TestAPluckedNoteThatTheBodyDrawsAwayIsWrittenWhereItsPartialsLie(t *testing.T) {
	tune := []int{40, 43, 45, 47, 45, 43, 45, 40}
	track, written := heardAs(t, onRecordedNotes(t, rig.Pizz, tune...))
	assert.NotEqual(t, tune, track, "else this test asks nothing")
	assert.Equal(t, tune, written)
}

// A string or the body that rings on an octave below a note makes the period twice as long.
func TestANoteAboveARingingOctaveIsNotWrittenAnOctaveTooLow(t *testing.T) {
	tune := []int{37, 45, 37, 38, 47, 38, 40}
	take := onRecordedNotes(t, rig.Arco, tune...)
	for _, n := range take.Truth.Notes {
		for i := int(n.OnsetS * rig.Rate); n.MIDI > 40 && i < int(n.OffsetS*rig.Rate); i++ {
			t := float64(i)/rig.Rate - n.OnsetS
			take.Samples[i] += float32(0.25 * math.Exp(-t/0.5) * math.Sin(math.Pi*n.FreqHz*t))
		}
	}
	track, written := heardAs(t, take)
	assert.NotEqual(t, tune, track, "else this test asks nothing")
	assert.Equal(t, tune, written)
}

func TestLeapsOfAnOctaveAreWrittenAsTheyArePlayed(t *testing.T) {
	for _, kind := range []string{rig.Arco, rig.Pizz} {
		tune := []int{33, 45, 33, 35, 47, 35, 36, 48, 43, 31, 29, 41, 28, 40}
		_, written := heardAs(t, onRecordedNotes(t, kind, tune...))
		assert.Equal(t, tune, written, kind)
	}
}

func TestSeveralNotesAtOnceAreRough(t *testing.T) {
	rough := func(takes ...*rig.Take) bool {
		sum := make([]float32, len(takes[0].Samples))
		for _, take := range takes {
			for i := range sum {
				sum[i] += take.Samples[i] / float32(len(takes))
			}
		}
		h, err := dsp.Listen(&dsp.Samples{SampleRate: rig.Rate, Data: sum}, dsp.Bass)
		require.NoError(t, err)
		return transcription.Rough(h)
	}
	low := onRecordedNotes(t, rig.Arco, 36, 41, 43, 36, 38, 43, 36)
	assert.False(t, rough(low))
	assert.True(t, rough(low, onRecordedNotes(t, rig.Arco, 52, 57, 59, 52, 54, 59, 52), onRecordedNotes(t, rig.Arco, 55, 60, 62, 55, 57, 62, 55)))
}
