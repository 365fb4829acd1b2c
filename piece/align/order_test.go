package align_test

import (
	"encoding/binary"
	"errors"
	"math"
	"math/rand"
	"sort"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"

	"endpin/dsp"
	"endpin/piece"
	"endpin/piece/align"
)

// inOrder says what is not right in the shape of an alignment, or "".
func inOrder(l line, notes []dsp.Note, a *align.Alignment) string {
	if len(a.Matches) != len(l.notes) {
		return "not a match for every note"
	}
	if a.First < 0 || a.Last >= len(l.notes) || a.First > a.Last {
		return "first and last are not of the line"
	}
	last, lastOn, phrase := -1, math.Inf(-1), -1
	taken := map[int]bool{}
	for i, m := range a.Matches {
		if m.Heard < 0 {
			continue
		}
		switch {
		case i < a.First || i > a.Last:
			return "a match outside first and last"
		case m.Heard >= len(notes):
			return "a match to no note"
		}
		if m.Phrase == phrase {
			if m.Heard < last || m.Heard == last && !m.Guessed && !m.Recovered {
				return "notes of one phrase out of order"
			}
			if m.Note.Onset < lastOn-1e-9 {
				return "onsets of one phrase out of order"
			}
		}
		if m.Note.Offset < m.Note.Onset-1e-9 {
			return "a note ends before it begins"
		}
		phrase, last, lastOn = m.Phrase, m.Heard, m.Note.Onset
		taken[m.Heard] = true
	}
	if !sort.IntsAreSorted(a.Extras) {
		return "extras out of order"
	}
	for k, j := range a.Extras {
		if j < 0 || j >= len(notes) || taken[j] || k > 0 && a.Extras[k-1] == j {
			return "an extra that is none"
		}
	}
	for _, r := range a.Restarts {
		if r.To > r.From || r.To < 0 || r.From >= len(l.notes) {
			return "a restart that does not go back"
		}
	}
	if !(a.Pace > 0) || math.IsInf(a.Pace, 0) {
		return "no pace"
	}
	return ""
}

// mishap plays a composed tune with a few mishaps, as students do.
func mishap(rng *rand.Rand) (line, take) {
	l := composed(rng, 5+rng.Intn(60))
	n := len(l.notes)
	tk := l.whole()
	for range rng.Intn(5) {
		k := rng.Intn(len(tk))
		switch rng.Intn(6) {
		case 0:
			if len(tk) > 4 {
				tk = append(tk[:k:k], tk[k+1:]...)
			}
		case 1:
			tk = append(tk, sound{-1, 28 + 24*rng.Float64(), tk[k].on + 0.3, tk[k].on + 0.6, 1 + 3*rng.Float64(), dsp.Fair})
		case 2:
			tk[k].midi += float64(rng.Intn(25) - 12)
		case 3:
			b := 1 + rng.Intn(n)
			tk = l.played(rng.Intn(b), b).then(3*rng.Float64(), tk)
		case 4:
			f := 0.5 + 1.5*rng.Float64()
			tk = tk.bend(func(s float64) float64 { return s * f })
		case 5:
			tk = tk.sway(rng, 30, 80)
		}
	}
	return l, tk
}

func TestNotesOfOnePhraseAreInOrder(t *testing.T) {
	heard := 0
	for seed := range int64(150) {
		l, tk := mishap(rand.New(rand.NewSource(seed)))
		h := tk.heard()
		a, err := align.Align(l.notes, l.clock, h, 440)
		if err != nil {
			continue
		}
		heard++
		assert.Empty(t, inOrder(l, h.Notes, a), "seed %d", seed)
	}
	assert.Greater(t, heard, 125)
}

func TestTheSameTakeIsAlignedTheSameTwice(t *testing.T) {
	for seed := range int64(10) {
		l, tk := mishap(rand.New(rand.NewSource(seed)))
		a, errA := align.Align(l.notes, l.clock, tk.heard(), 440)
		b, errB := align.Align(l.notes, l.clock, tk.heard(), 440)
		assert.Equal(t, errA, errB)
		if errA == nil {
			for i := range a.Matches {
				assert.Equal(t, a.Matches[i].Note, b.Matches[i].Note)
			}
			assert.Equal(t, a.Restarts, b.Restarts)
		}
	}
}

// FuzzAlign aligns anything with anything: extremes of pitch, time and length,
// nothing, one note. Three bytes make a note of the page, six a note heard.
func FuzzAlign(f *testing.F) {
	f.Add([]byte{}, []byte{}, 440.0)
	f.Add([]byte{40, 4, 0}, []byte{40, 0, 0, 4, 0, 9}, 440.0)
	f.Add([]byte{40, 4, 0, 42, 4, 0, 44, 8, 1}, []byte{40, 0, 1, 4, 0, 9, 42, 0, 4, 4, 0, 9, 44, 0, 4, 8, 0, 1}, 415.0)
	f.Add([]byte{255, 255, 255, 0, 0, 0}, []byte{255, 255, 255, 255, 255, 255, 0, 0, 0, 0, 0, 0}, 1e300)
	for seed := range int64(4) {
		b := make([]byte, 120)
		rand.New(rand.NewSource(seed)).Read(b)
		f.Add(b[:60], b[60:], 440.0)
	}
	f.Fuzz(func(t *testing.T, page, sounds []byte, reference float64) {
		if len(page) > 3*200 || len(sounds) > 6*200 || math.IsNaN(reference) || reference <= 0 || math.IsInf(reference, 0) {
			return
		}
		var l line
		at, clock := piece.Ticks(0), 0.0
		for ; len(page) >= 3; page = page[3:] {
			measure := len(l.notes) / 4
			length := piece.Ticks(page[1]) * piece.Quarter / 8 // 0 too
			l.notes = append(l.notes, piece.Expected{Measure: measure, Number: strconv.Itoa(measure), Pass: 1 + int(page[2])/128,
				Beat: 1, Note: len(l.notes), Onset: at, Length: length, MIDI: int(page[0])})
			l.clock = append(l.clock, clock)
			at += length
			clock += length.Quarters() * float64(page[2]%8)
		}
		h := &dsp.Heard{Rate: 44100, Floor: -70}
		onset := 0.0
		for ; len(sounds) >= 6; sounds = sounds[6:] {
			onset += math.Exp2(float64(sounds[1]%64)-60) + float64(sounds[2])/64
			pitch := float64(sounds[0]) + float64(int8(sounds[4]))/100
			n := dsp.Note{Onset: onset, Offset: onset + float64(sounds[3])/32, Pitch: pitch, Landing: pitch, Strength: float64(sounds[5]) / 16,
				Trust: []dsp.Trust{dsp.Sure, dsp.Fair, dsp.NotSure}[int(sounds[5])%3], Level: -20}
			h.Notes = append(h.Notes, n)
			for k := range 12 {
				h.Frames = append(h.Frames, dsp.Frame{Time: onset + float64(k)/100, Voiced: k%7 > 0, Freq: dsp.Hz(pitch), Level: -20})
			}
			if binary.BigEndian.Uint16(sounds[:2])%3 == 0 {
				h.Faint = append(h.Faint, dsp.Onset{Time: onset + 0.1, Strength: 1})
			}
			h.Duration = n.Offset
		}
		a, err := align.Align(l.notes, l.clock, h, reference)
		if err != nil {
			if !errors.Is(err, align.ErrNothing) {
				t.Fatal(err)
			}
			return
		}
		if bad := inOrder(l, h.Notes, a); bad != "" {
			t.Fatal(bad)
		}
	})
}
