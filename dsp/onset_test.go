package dsp

import (
	"fmt"
	"math"
	"sort"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp/robust"
)

// begins checks that a take has one onset for each stroke within 50 ms (the window
// of MIREX and mir_eval) of when it is heard, and none beside.
func begins(t *testing.T, onsets []Onset, strokes []stroke, what string) {
	t.Helper()
	var times, truth []string
	for _, o := range onsets {
		times = append(times, fmt.Sprintf("%.2f", o.Time))
	}
	ok := len(onsets) == len(strokes)
	for i, s := range strokes {
		truth = append(truth, fmt.Sprintf("%.2f", s.heardAt()))
		ok = ok && math.Abs(onsets[i].Time-s.heardAt()) <= 0.05 // only where there are as many
	}
	assert.True(t, ok, "%s: %v, heard at %v", what, truth, times)
}

// theStrings is a low and a high note for every string, open strings and stopped.
var theStrings = []float64{28, 31, 33, 36, 38, 41, 43, 46, 50, 55}

func repeated(midi float64, times int) (out []float64) {
	for range times {
		out = append(out, midi)
	}
	return out
}

func TestTheSameNoteBowedAgainIsANewNote(t *testing.T) {
	accuracy(t)
	for _, midi := range theStrings {
		strokes := row(bowed, 0.5, 0.9, repeated(midi, 6)...)
		h := hear(t, sound(44100, 4, strokes...), 44100)
		begins(t, h.Onsets, strokes, fmt.Sprintf("MIDI %v", midi))
		for _, n := range h.Notes {
			assert.InDelta(t, midi, n.Pitch, 0.01)
		}
	}
}

func TestThePulsesOfTheLowestStringAreNoNotes(t *testing.T) {
	accuracy(t)
	for _, midi := range []float64{28, 29, 33} {
		partials := make([]float64, 120)
		for k := range partials {
			partials[k] = 0.02
		}
		partials[0] = 0.002
		x := make([]float32, 4*44100)
		Noise(x, -60, 1)
		tone := Tone{Freq: Vibrato(Hz(midi), 4, 0.7), Partials: partials, Seconds: 3, Rate: 44100}.Samples()
		addAt(x, tone, 0.5, 44100)
		assert.Len(t, hear(t, x, 44100).Onsets, 1, "MIDI %v", midi)
	}
}

func TestASlurredNoteIsANewNote(t *testing.T) {
	accuracy(t)
	for _, midi := range theStrings {
		for _, step := range []float64{1, 2, 5, -2, -4} {
			if midi+step < 28 {
				continue
			}
			s := bowed(0.5, 2, midi)
			s.freq = Glide(Hz(midi), Hz(midi+step), 0.985, 1.015)
			h := hear(t, sound(44100, 3, s), 44100)
			if !assert.Len(t, h.Onsets, 2, "MIDI %v and %v semitones", midi, step) {
				continue
			}
			assert.Equal(t, []OnsetKind{Attack, PitchChange}, []OnsetKind{h.Onsets[0].Kind, h.Onsets[1].Kind}, "MIDI %v and %v", midi, step)
			assert.InDelta(t, 1.5, h.Onsets[1].Time, 0.025, "MIDI %v and %v semitones", midi, step)
		}
	}
}

func TestASlowAttackBeginsOnce(t *testing.T) {
	accuracy(t)
	for _, attack := range []float64{0.03, 0.08, 0.15, 0.25} {
		strokes := row(bowed, 1, 0.8, theStrings...)
		for i := range strokes {
			strokes[i].attack = attack
		}
		h := hear(t, sound(44100, 11, strokes...), 44100)
		begins(t, h.Onsets, strokes, fmt.Sprintf("%v s", attack))
	}
}

func TestAPluckedNoteBeginsOnceHoweverLongItRings(t *testing.T) {
	accuracy(t)
	for _, decay := range []float64{8, 25, 50} {
		strokes := row(plucked, 0.9, 0.95, theStrings...)
		for i := range strokes {
			strokes[i].decay = decay
		}
		h := hear(t, sound(44100, 10, strokes...), 44100)
		begins(t, h.Onsets, strokes, fmt.Sprintf("%v dB a second", decay))
	}
}

func TestACrossingOfStringsBeginsOnce(t *testing.T) {
	accuracy(t)
	// The string left rings on for a tenth of a second under the next.
	strokes := row(bowed, 0.5, 0.95, 33, 38, 43, 38, 33, 40, 45, 40)
	for i := range strokes {
		strokes[i].release = 0.1
	}
	h := hear(t, sound(44100, 5, strokes...), 44100)
	begins(t, h.Onsets, strokes, "up and down the strings")
}

func TestAVibratoIsOneNote(t *testing.T) {
	accuracy(t)
	// Open strings, of which E is the lowest, have none.
	for _, midi := range theStrings[1:] {
		for _, extent := range []float64{10, 20} {
			s := bowed(0.5, 2, midi)
			s.freq = Vibrato(Hz(midi), extent, 5.5)
			assert.Len(t, hear(t, sound(44100, 3, s), 44100).Onsets, 1, "MIDI %v, %v cents each way", midi, extent)
		}
	}
}

func TestARingingOpenStringUnderAStoppedNoteIsNoNote(t *testing.T) {
	accuracy(t)
	for _, pair := range [][2]float64{{33, 43}, {33, 41}, {38, 45}, {28, 38}, {43, 50}} {
		ringing := plucked(0.5, 3.4, pair[0])
		ringing.decay = 12
		strokes := []stroke{ringing, bowed(1.5, 0.97, pair[1]), bowed(2.5, 0.97, pair[1]+2)}
		begins(t, hear(t, sound(44100, 4, strokes...), 44100).Onsets, strokes, fmt.Sprint(pair))
	}
}

// Where two strings a tone apart have but few partials left, they swell and sink together by
// 10 dB and more many times a second, and no new sound comes in.
func TestTwoStringsThatBeatBeginOnceEach(t *testing.T) {
	accuracy(t)
	for _, c := range []struct{ first, second, dies, faster float64 }{
		{43, 41, 10, 25}, {43, 41, 12, 40}, {43, 41, 16, 40}, {45, 43, 6, 24}, {45, 43, 12, 40}, {38, 40, 10, 25}, {36, 38, 10, 25}, {36, 38, 16, 40},
	} {
		strokes := []stroke{plucked(0.5, 3.4, c.first), plucked(1.3, 2.6, c.second)}
		strokes[0].decay, strokes[1].decay = c.dies, c.faster
		for k := range strokes {
			strokes[k].partials = []float64{1, 0.4, 0.1}
		}
		begins(t, hear(t, sound(44100, 4, strokes...), 44100).Onsets, strokes, fmt.Sprint(c))
	}
}

// scratch is 30 ms of noise from the bow, so many dB under a note.
func scratch(x []float32, at, under float64) {
	burst := make([]float32, 1323)
	Noise(burst, rmsLevel(x)-under, 3)
	for i := range burst {
		burst[i] *= float32(ease(2 * float64(i) / float64(len(burst))))
	}
	addAt(x, burst, at, 44100)
}

func TestAScratchOfTheBowIsNoNote(t *testing.T) {
	accuracy(t)
	for _, under := range []float64{12, 20, 30} {
		strokes := []stroke{bowed(0.5, 0.8, 40), bowed(2, 0.8, 43)}
		x := sound(44100, 3.5, strokes...)
		scratch(x, 0.50, under)
		scratch(x, 1.99, under)
		begins(t, hear(t, x, 44100).Onsets, strokes, fmt.Sprintf("at the attack, %v dB under", under))

		x = sound(44100, 3.5, strokes...)
		scratch(x, 1.6, under)
		assert.Len(t, hear(t, x, 44100).Notes, 2, "between two notes, %v dB under", under)
	}
}

// A note is heard when it comes to a tenth of its full amplitude. The bias is what
// all are early or late together; alignment takes it off. What is left is the spread.
func TestAnOnsetIsPlacedWhereTheNoteIsHeard(t *testing.T) {
	accuracy(t)
	for _, kind := range []struct {
		name         string
		attack       float64
		how          func(at, seconds, midi float64) stroke
		bias, spread float64 // s
	}{
		{"plucked", 0.004, plucked, 0.005, 0.005},
		{"bowed, 30 ms", 0.03, bowed, 0.005, 0.005},
		{"bowed, 60 ms", 0.06, bowed, 0.005, 0.005},
		{"bowed, 90 ms", 0.09, bowed, 0.010, 0.005},
		{"bowed, 150 ms", 0.15, bowed, 0.010, 0.005},
	} {
		var off []float64
		for i, midi := range theStrings {
			s := kind.how(0.5+0.0037*float64(i), 0.8, midi)
			s.attack = kind.attack
			x := sound(44100, 1.8, s)
			Noise(x, -60, int64(i))
			h := hear(t, x, 44100)
			require.Len(t, h.Onsets, 1, "%s, MIDI %v", kind.name, midi)
			off = append(off, h.Onsets[0].Time-s.heardAt())
		}
		sort.Float64s(off)
		bias := robust.Median(off)
		spread := (off[len(off)-1] - off[0]) / 2
		t.Logf("%-14s bias %+.1f ms, spread ±%.1f ms", kind.name, 1000*bias, 1000*spread)
		assert.InDelta(t, 0, bias, kind.bias, kind.name)
		assert.Less(t, spread, kind.spread, kind.name)
	}
}

func TestAStrongAttackIsPlainerThanAFaintOne(t *testing.T) {
	accuracy(t)
	strokes := []stroke{bowed(0.5, 0.6, 40), bowed(1.5, 0.6, 40)}
	strokes[1].at = 1.1 // no rest before it
	h := hear(t, sound(44100, 2.5, strokes...), 44100)
	require.Len(t, h.Onsets, 2)
	assert.Greater(t, h.Onsets[0].Strength, h.Onsets[1].Strength)
	for _, o := range h.Onsets {
		assert.GreaterOrEqual(t, o.Strength, onsetEvidence)
	}
}
