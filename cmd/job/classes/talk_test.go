package classes

import (
	"bytes"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp/recording"
	"endpin/dsp/rig"
	"endpin/piece/finding"
	"endpin/piece/fingerboard"
	"endpin/piece/notation"
	"endpin/piece/pupil"
)

// The sounds on the pages are nothing but playing: whoever speaks right before the first note and
// right after the last is not heard on any, though both notes are told and their two seconds
// reach into the talk. The words are spoken by a program, none of them a child's.
func TestNoSoundOnAPageHoldsTalk(t *testing.T) {
	slow(t)
	for _, program := range []string{"espeak-ng", "fluidsynth"} {
		if _, err := exec.LookPath(program); err != nil && os.Getenv("CI") != "true" {
			t.Skip(program + " is not installed")
		}
	}
	tune := pupil.Compose(pupil.Style{Marked: true, Measures: 8}, 8231)
	plan := pupil.Player{Tune: tune, Scatter: pupil.Careful, Program: rig.Bowed, Seed: 8231, Level: pupil.Intermediate}.Play().Plan
	plan.GapS = 0.05
	first, last := &plan.Notes[0], &plan.Notes[len(plan.Notes)-1]
	first.Cents, last.Cents, last.DurBeats = 45, 45, plan.TempoQPM/60*0.5
	take, err := rig.Render(plan)
	require.NoError(t, err)
	words, err := rig.Speak("where was I going tell me now", -6)
	require.NoError(t, err)
	loud := func(v float32) bool { return v > 0.1 || v < -0.1 }
	begins := slices.IndexFunc(words, loud)
	slices.Reverse(words)
	ends := slices.IndexFunc(words, loud)
	slices.Reverse(words)
	words = words[begins : len(words)-ends] // without the silence round it
	take.Before(words, 0.2)
	end := int((take.Truth.Notes[len(take.Truth.Notes)-1].OffsetS + 0.7) * rig.Rate)
	take.Samples = append(append(take.Samples, make([]float32, rig.Rate)...)[:end], words...)

	p, err := notation.Read("tune.musicxml", tune.MusicXML())
	require.NoError(t, err)
	bass := fingerboard.DoubleBass()
	c := Class{Pieces: []Piece{{Piece: p, File: "tune.musicxml"}}, Folder: t.TempDir(), Options: finding.Options{Instrument: &bass, Level: finding.Intermediate}}
	var wav bytes.Buffer
	require.NoError(t, recording.WriteWAV(&wav, rig.Rate, take.Samples))
	require.NoError(t, os.WriteFile(filepath.Join(c.Folder, "Ada.wav"), wav.Bytes(), 0o600))
	heard, err := Hear(t.Context(), c)
	require.NoError(t, err)
	played := heard.Played["Ada.wav"]
	require.NotNil(t, played.Hearing, played.Reason)
	playing := func(at float64) bool {
		for _, n := range take.Truth.Notes {
			if at > n.OnsetS-0.1 && at < n.OffsetS+0.7 {
				return true
			}
		}
		return false
	}
	spoken := 0
	for _, m := range played.Moments {
		r, err := recording.Decode("moment", bytes.NewReader(m.WAV))
		require.NoError(t, err)
		begin := max(0, played.Hearing.Findings[m.Finding].At-momentLead)
		buf := make([]float32, 3*keptRate)
		n, _ := r.Read(buf)
		for i, v := range buf[:n] {
			at := begin + float64(i)/keptRate
			if playing(at) {
				continue
			}
			if k := int(at * rig.Rate); k < len(take.Samples) && math.Abs(float64(take.Samples[k])) > 0.05 {
				spoken++
			}
			require.Zero(t, v, "%s at %.2f s: talk", played.Hearing.Findings[m.Finding].Text, at)
		}
	}
	assert.Greater(t, spoken, keptRate/20, "the moments reach into talk, which makes this a test")
}

func TestASoundFarFromAllNotesWhosePitchWasMeasuredMayBeAWord(t *testing.T) {
	note := func(on, off float64, pitched bool, state finding.State) finding.Note {
		n := finding.Note{Onset: &on, Offset: &off, State: state}
		if pitched {
			n.Cents = new(float64)
		}
		return n
	}
	h := &finding.Hearing{Notes: []finding.Note{
		note(1, 2, true, finding.StatePlayed), note(2.1, 2.3, false, finding.StatePlayed), note(2.4, 2.6, false, finding.StatePlayed), // short notes after a long one
		note(5, 5.2, false, finding.StatePlayed), note(5.4, 5.6, false, finding.StatePlayed), // in a wait
		note(8, 9, true, finding.StatePlayed), note(9.5, 9.8, true, finding.StateExtra), {State: finding.StateMissing}}}
	assert.Equal(t, []span{{1, 2}, {2.1, 2.3}, {2.4, 2.6}, {8, 9}}, certain(h))
}
