package rig

import (
	"math"
	"os"
	"os/exec"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// needSynth skips where FluidSynth is missing, and fails there under CI.
func needSynth(t *testing.T) {
	t.Helper()
	_, err := exec.LookPath("fluidsynth")
	if err == nil {
		_, err = findSoundfont()
	}
	if err == nil {
		return
	}
	if os.Getenv("CI") == "true" {
		t.Fatal(err)
	}
	t.Skip(err)
}

// scale is one slow note on each pitch given.
func scale(pitches ...int) Plan {
	p := Plan{TempoQPM: 60, Program: Bowed}
	for i, midi := range pitches {
		p.Notes = append(p.Notes, Note{MIDI: midi, OnsetBeat: 2 * float64(i), DurBeats: 2, Hold: 0.7})
	}
	return p
}

func cents(hz, against float64) float64 { return 1200 * math.Log2(hz/against) }

func TestTheTruthIsThePitchThatSounds(t *testing.T) {
	needSynth(t)
	for _, program := range []int{Bowed, Plucked} {
		plan := scale(28, 33, 38, 43, 50, 57)
		plan.Program, plan.TuningA4 = program, 436
		for i := range plan.Notes {
			plan.Notes[i].Cents = float64(25 - 13*i)
		}
		take, err := Render(plan)
		require.NoError(t, err)
		for _, n := range take.Truth.Notes {
			got := Frequency(take.Samples, n.HeardS+0.3, n.HeardS+1.2, n.FreqHz)
			assert.InDelta(t, 0, cents(got, n.FreqHz), 3.5, "program %d, MIDI %d", program, n.MIDI)
			assert.InDelta(t, n.Note.Cents, n.Cents, 1.5, "the planned cents are played but for a whole cent's rounding")
		}
	}
}

func TestANoteIsHeardWhenTheTruthSaysSo(t *testing.T) {
	needSynth(t)
	take, err := Render(scale(28, 33, 38, 43, 50, 57))
	require.NoError(t, err)
	for _, n := range take.Truth.Notes {
		assert.InDelta(t, n.HeardS, tenthOfPeak(take.Samples, n.OnsetS, n.OffsetS), 0.005, "MIDI %d", n.MIDI)
	}
}

// tenthOfPeak is the moment at which a note first reaches a tenth of its peak.
func tenthOfPeak(samples []float32, from, to float64) float64 {
	note := samples[int(from*Rate):int(to*Rate)]
	var peak float32
	for _, s := range note {
		peak = max(peak, s, -s)
	}
	for i, s := range note {
		if max(s, -s) >= peak/10 {
			return from + float64(i)/Rate
		}
	}
	return math.NaN()
}

func TestThePhaseTellsAFrequency(t *testing.T) {
	samples := make([]float32, Rate)
	for i := range samples {
		at := 2 * math.Pi * 61.3 * float64(i) / Rate
		samples[i] = float32(0.05*math.Sin(at) + 0.5*math.Sin(2*at) + 0.3*math.Sin(3*at+1))
	}
	for _, near := range []float64{61.3, 60.6, 62.1} {
		assert.InDelta(t, 0, cents(Frequency(samples, 0.1, 0.9, near), 61.3), 0.05)
	}
	assert.True(t, math.IsNaN(Frequency(samples, 0.1, 0.15, 61.3)), "a stretch too short to tell")
}

func TestASlurGlidesAndDoesNotSpeakAgain(t *testing.T) {
	needSynth(t)
	plan := Plan{TempoQPM: 60, Program: Bowed, Notes: []Note{
		{MIDI: 38, DurBeats: 2}, {MIDI: 43, OnsetBeat: 2, DurBeats: 2, Slurred: true, GlideMS: 120, Cents: 20}}}
	take, err := Render(plan)
	require.NoError(t, err)
	first, second := take.Truth.Notes[0], take.Truth.Notes[1]
	assert.InDelta(t, 0, cents(Frequency(take.Samples, 2, 2.8, first.FreqHz), first.FreqHz), 3.5)
	assert.InDelta(t, 0, cents(Frequency(take.Samples, 3.3, 4.5, second.FreqHz), second.FreqHz), 3.5)
	assert.Equal(t, first.OffsetS, second.OnsetS)
	quietest := math.Inf(1)
	for at := second.OnsetS - 0.1; at < second.OnsetS+0.1; at += 0.02 {
		quietest = math.Min(quietest, rms(take.Samples[int(at*Rate):int((at+0.04)*Rate)]))
	}
	assert.Greater(t, quietest, 0.4*rms(take.Samples[2*Rate:int(2.8*Rate)]), "the bow does not stop")
}

func rms(samples []float32) float64 {
	sum := 0.0
	for _, s := range samples {
		sum += float64(s) * float64(s)
	}
	return math.Sqrt(sum / float64(len(samples)))
}

func TestTheRealBassPlaysThePlannedPitch(t *testing.T) {
	for kind, within := range map[string]float64{Arco: 2, Pizz: 12} {
		bass, err := LoadRealBass(kind)
		require.NoError(t, err)
		plan := scale(31, 34, 38, 41, 46)
		plan.Notes[2].Cents = -30
		take, err := bass.Play(plan)
		require.NoError(t, err)
		for _, n := range take.Truth.Notes {
			got := Frequency(take.Samples, n.HeardS+0.35, n.HeardS+1.2, n.FreqHz)
			assert.InDelta(t, 0, cents(got, n.FreqHz), within, "%s from %s", kind, n.Source)
		}
	}
}

func TestTheSamePlanGivesTheSameTake(t *testing.T) {
	needSynth(t)
	plan := scale(40, 41)
	plan.NoiseDB = DB(-40)
	a, err := Render(plan)
	require.NoError(t, err)
	b, err := Render(plan)
	require.NoError(t, err)
	assert.Equal(t, a.Samples, b.Samples)
}

func TestNoiseHasTheLevelAskedFor(t *testing.T) {
	for name, add := range map[string]func(*Take){
		"white": func(t *Take) { t.WhiteNoise(-30, 1) },
		"room":  func(t *Take) { t.RoomNoise(-30, 1) },
		"hum":   func(t *Take) { t.Hum(50, -30) },
	} {
		take := &Take{Samples: make([]float32, 5*Rate)}
		add(take)
		assert.InDelta(t, -30, 20*math.Log10(rms(take.Samples)), 0.5, name)
	}
}

func TestTalkBeforeTheStartMovesTheTruth(t *testing.T) {
	if _, err := exec.LookPath("espeak-ng"); err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal(err)
		}
		t.Skip(err)
	}
	words, err := Speak("This is the second study. Two, three, four.", -12)
	require.NoError(t, err)
	require.Greater(t, len(words), Rate)
	take := &Take{Samples: make([]float32, Rate), Truth: Truth{LengthS: 1, Notes: []TrueNote{{OnsetS: 0.5, HeardS: 0.51, OffsetS: 0.9}}}}
	take.Before(words, 0.5)
	by := float64(len(words)+Rate/2) / Rate
	assert.InDelta(t, by+0.51, take.Truth.Notes[0].HeardS, 1e-9)
	assert.InDelta(t, float64(len(take.Samples))/Rate, take.Truth.LengthS, 1e-9)
}

func TestPlansThatCannotBePlayedAreRefused(t *testing.T) {
	_, err := Render(scale(58))
	assert.ErrorContains(t, err, "no sample for MIDI note 58")
	_, err = Render(Plan{Program: 43, Notes: []Note{{MIDI: 40, DurBeats: 1}}})
	assert.ErrorContains(t, err, "tempo")
	_, err = Render(Plan{Program: 7, TempoQPM: 60})
	assert.ErrorContains(t, err, "not measured")
}

// tone is a second of a sine of amplitude 0.5.
func tone(hz float64) *Take {
	take := &Take{Samples: make([]float32, Rate), Truth: Truth{TempoQPM: 60, LengthS: 1}}
	for i := range take.Samples {
		take.Samples[i] = float32(0.5 * math.Sin(2*math.Pi*hz*float64(i)/Rate))
	}
	return take
}

// kept is by how many dB a change lowers or raises a tone.
func kept(hz float64, change func(*Take)) float64 {
	take := tone(hz)
	before := rms(take.Samples[Rate/2:])
	change(take)
	return 20 * math.Log10(rms(take.Samples[Rate/2:])/before)
}

func TestAPhoneLosesTheLowestAndTheHighest(t *testing.T) {
	phone := func(t *Take) { t.WeakBass(200); t.BandLimit(8000) }
	assert.Less(t, kept(41.2, phone), -25.0, "12 dB an octave below 200 Hz")
	assert.InDelta(t, -3, kept(200, phone), 0.2)
	assert.InDelta(t, 0, kept(1000, phone), 0.2)
	assert.Less(t, kept(16000, phone), -24.0)
}

func TestClippingFlattensTheCrests(t *testing.T) {
	take := tone(100)
	take.Clip(0.25)
	full := 0
	for _, s := range take.Samples {
		if s == 1 || s == -1 {
			full++
		}
	}
	assert.InDelta(t, 2.0/3, float64(full)/Rate, 0.01, "a sine is beyond half its crest for two thirds of the time")
}

func TestReverberationDiesAwayByTheTimeAskedFor(t *testing.T) {
	take := &Take{Samples: make([]float32, 2*Rate)}
	for i := range Rate / 10 {
		take.Samples[i] = float32(math.Sin(2 * math.Pi * 150 * float64(i) / Rate))
	}
	take.Reverb(0.8, -10, 1)
	early, late := rms(take.Samples[Rate/5:Rate*3/10]), rms(take.Samples[Rate*3/5:Rate*7/10])
	assert.InDelta(t, -30, 20*math.Log10(late/early), 8, "0.4 s are half of the 60 dB")
}

func TestTheMetronomeTicksOnTheBeat(t *testing.T) {
	take := &Take{Samples: make([]float32, 5*Rate), Truth: Truth{TempoQPM: 120, LengthS: 5}}
	take.Metronome(-10, 1)
	for _, at := range []float64{1, 1.5, 4.5} {
		assert.Greater(t, rms(take.Samples[int(at*Rate):int((at+0.01)*Rate)]), 0.03, "at %g s", at)
	}
	assert.Zero(t, rms(take.Samples[int(1.2*Rate):int(1.4*Rate)]))
}

func TestTwoTakesInOneFileKeepTheirTruth(t *testing.T) {
	first, second := tone(100), tone(200)
	second.Truth.Notes = []TrueNote{{OnsetS: 0.25, HeardS: 0.26, OffsetS: 0.5}}
	first.Append(second)
	require.Len(t, first.Truth.Notes, 1)
	assert.InDelta(t, 1.26, first.Truth.Notes[0].HeardS, 1e-9)
	assert.InDelta(t, 2, first.Truth.LengthS, 1e-9)
}
