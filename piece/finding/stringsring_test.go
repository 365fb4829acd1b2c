package finding_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp"
	"endpin/piece/finding"
)

// pluckedRinging is the sound of a player's notes, plucked on strings that nobody damps:
// each rings on, its upper partials dying first, until its string is stopped anew. The
// body hardly carries the lowest fundamentals.
func (p *player) pluckedRinging(rate int) []float32 {
	last := p.sounds[len(p.sounds)-1]
	out := make([]float32, int((last.end+1.5)*float64(rate)))
	for k, s := range p.sounds {
		until := s.onset + 4
		for _, later := range p.sounds[k+1:] {
			if p.plan.Notes[later.note].String == p.plan.Notes[s.note].String {
				until = math.Min(until, later.onset)
			}
		}
		f := dsp.ReferenceA * math.Exp2((s.midi-69)/12)
		for h := 1; h <= 24; h++ {
			at := f * float64(h)
			amplitude := 0.12 / float64(h) / (1 + math.Pow(180/at, 4))
			for i := int(s.onset * float64(rate)); i < int(until*float64(rate)) && i < len(out); i++ {
				t := float64(i)/float64(rate) - s.onset
				fade := math.Min(1, t/0.008) * math.Min(1, (until-s.onset-t)/0.02)
				out[i] += float32(amplitude * fade * math.Exp(-t*(0.8+0.25*float64(h))) * math.Sin(2*math.Pi*at*t))
			}
		}
	}
	dsp.Noise(out, -70, 7)
	return out
}

// listenTo hears a player's plucked strings and judges them; slip may change what the
// pitch track made of the notes.
func (p *player) listenTo(slip func(h *dsp.Heard)) *finding.Hearing {
	const rate = 22050
	l, err := dsp.NewListener(dsp.Bass, rate)
	require.NoError(p.t, err)
	l.Push(p.pluckedRinging(rate))
	heard := l.Finish()
	slip(heard)
	h, err := finding.Judge(p.piece, heard, finding.Options{})
	require.NoError(p.t, err)
	return h
}

func wrongNotes(h *finding.Hearing) (semitones []float64) {
	for _, f := range h.Findings {
		if f.Kind == finding.WrongNote {
			semitones = append(semitones, f.Value)
		}
	}
	return semitones
}

// Where strings ring on, the track may follow a period that two of them have in common.
func TestATrackThatSlippedByAnOctaveIsPutRightByThePartials(t *testing.T) {
	for _, by := range []float64{-12, 12, -19} {
		p := play(t, harbour)
		h := p.listenTo(func(h *dsp.Heard) {
			for _, k := range []int{6, 17, 33} {
				h.Notes[k].Pitch += by
			}
		})
		assert.Empty(t, wrongNotes(h), "slipped by %g", by)
		for _, n := range h.Notes {
			if n.Cents != nil {
				assert.Less(t, math.Abs(*n.Cents), 12.0, "measure %s, beat %g", n.Measure, n.Beat)
			}
		}
	}
}

// Where several strings sound at once there may be no period that a track could follow.
func TestAPluckThatNoTrackFollowsIsHeardByItsPartials(t *testing.T) {
	p := play(t, harbour)
	h := p.listenTo(func(h *dsp.Heard) {
		for _, k := range []int{33, 17, 16} {
			n := h.Notes[k]
			for i := range h.Frames {
				if f := &h.Frames[i]; f.Time >= n.Onset && f.Time < n.Offset {
					f.Voiced, f.Aperiodicity = false, 1
				}
			}
			h.Notes = slices.Delete(h.Notes, k, k+1)
		}
	})
	assert.Empty(t, h.Findings)
	for _, n := range h.Notes {
		if assert.NotNil(t, n.Cents, "measure %s, beat %g", n.Measure, n.Beat) {
			assert.Less(t, math.Abs(*n.Cents), 12.0, "measure %s, beat %g", n.Measure, n.Beat)
		}
	}
}

// A look at a take that goes on keeps no sound to ask partials of.
func TestAPluckOffItsPlaceIsToldWhereTheSoundWasNotKept(t *testing.T) {
	const rate = 22050
	p := play(t, harbour)
	i := p.at("5:3")
	p.detune(50, i)
	l, err := dsp.NewListener(dsp.Bass, rate)
	require.NoError(t, err)
	l.Push(p.pluckedRinging(rate))
	whole := l.Finish()
	h, err := finding.Judge(p.piece, &dsp.Heard{Rate: whole.Rate, Frames: whole.Frames, Onsets: whole.Onsets, Notes: whole.Notes, Faint: whole.Faint,
		Floor: whole.Floor, Release: whole.Release, Duration: whole.Duration, Peak: whole.Peak}, finding.Options{})
	require.NoError(t, err)
	require.NotNil(t, h.Notes[i].Cents)
	assert.InDelta(t, 50, *h.Notes[i].Cents, 5)
	assert.Equal(t, []string{"sharp 5"}, told(h))
}

// Where two strings beat, the track wavers between them; their partials come apart.
func TestANoteThatTheTrackDoubtsUnderARingIsHeardByItsPartials(t *testing.T) {
	const hand = 31.0
	p := play(t, harbour)
	p.detune(hand, p.at("5:3"))
	h := p.listenTo(func(h *dsp.Heard) {
		for _, k := range []int{6, 17, 18, 33} {
			n := &h.Notes[k]
			n.Pitch, n.Spread, n.Trust = n.Pitch-0.3, 75, dsp.NotSure
		}
	})
	for i, n := range h.Notes {
		assert.NotEqual(t, dsp.NotSure, n.Trust, "measure %s, beat %g", n.Measure, n.Beat)
		want := 0.0
		if i == p.at("5:3") {
			want = hand
		}
		assert.InDelta(t, want, *n.Cents, 8, "measure %s, beat %g", n.Measure, n.Beat)
	}
}

// Under what rings a note may be heard at a period that the two have in common, and at its
// own pitch only as the ring dies away.
func TestANoteHeardAtAnotherPitchFirstIsOneNote(t *testing.T) {
	for _, by := range []float64{-7, 7, 19} {
		h := play(t, harbour).listenTo(func(h *dsp.Heard) {
			for _, k := range []int{33, 17, 6} {
				first, rest := h.Notes[k], h.Notes[k]
				first.Offset = first.Onset + 0.6*(first.Offset-first.Onset)
				first.Pitch, first.SteadyTo = first.Pitch+by, first.Offset
				rest.Onset, rest.Fresh, rest.Kind = first.Offset, 1, dsp.PitchChange
				h.Notes = slices.Replace(h.Notes, k, k+1, first, rest)
			}
		})
		assert.Empty(t, told(h), "heard %+g semitones off first", by)
	}
}

func TestANoteReallyPlayedAnOctaveOffIsTold(t *testing.T) {
	for _, by := range []float64{-12, 12} {
		p := play(t, harbour)
		p.sounds[p.at("5:3")].midi += by
		h := p.listenTo(func(*dsp.Heard) {})
		assert.Equal(t, []float64{by}, wrongNotes(h))
		f := only(t, h, finding.WrongNote, "5")
		way := map[float64][2]string{-12: {"lower", "low"}, 12: {"higher", "high"}}[by]
		assert.Contains(t, f.Text, "sounded an octave "+way[0]+" than written.")
		assert.Equal(t, "an octave too "+way[1], f.Short)
	}
}

func TestAPassageAnOctaveOffIsToldOnce(t *testing.T) {
	for by, way := range map[float64]string{-12: "lower", 12: "higher"} {
		p := play(t, harbour)
		for _, i := range p.in(5, 6, every) {
			p.sounds[i].midi += by
		}
		p.sounds[p.at("10:2")].midi += by
		h := p.listenTo(func(*dsp.Heard) {})
		all := kinds(h, finding.WrongNote)
		require.Len(t, all, 2, "%v", told(h))
		f := all[0]
		assert.Contains(t, f.Text, "easures 5 to 6 sounded an octave "+way+" than written, in ")
		assert.Equal(t, len(f.Places)+1, f.Notes)
		assert.Equal(t, []string{"5", "6", "10", "10"}, []string{f.Measure, f.ToMeasure, all[1].Measure, all[1].ToMeasure}, "one far from it stands by itself")
		assert.NotContains(t, strings.Join(told(h), " "), "missing")
	}
}

// The string before it rings on into its time, and a soft beginning could be hidden there:
// but nothing of the note left out is in the sound.
func TestAPluckedNoteLeftOutUnderAStringThatRingsIsMissing(t *testing.T) {
	for _, place := range []string{"3:2", "5:3", "9:2"} {
		p := play(t, harbour)
		h := p.leaveOut(p.at(place)).listenTo(func(*dsp.Heard) {})
		missing := kinds(h, finding.Missing)
		if assert.Len(t, missing, 1, "%s: %v", place, told(h)) {
			assert.Equal(t, place[:1], missing[0].Measure)
		}
	}
}

// halves is our own: half notes, and a rest after each.
const halves = header + `
"I"!1!A,2 z2 | !4!B,2 z2 | !1!E2 z2 | !4!F2 z2 | !1!A,2 z2 | !1!E2 z2 | !4!B,2 z2 | !4!F4 |]
`

// bowed is the sound of a player's notes, bowed to their end; the string then rings
// down by so many dB a second, under a finger that stays.
func (p *player) bowed(rate int, down float64) []float32 {
	out := make([]float32, int((p.sounds[len(p.sounds)-1].end+2)*float64(rate)))
	for _, s := range p.sounds {
		f := dsp.ReferenceA * math.Exp2((s.midi-69)/12)
		for i := int(s.onset * float64(rate)); i < len(out) && i < int((s.end+1.2)*float64(rate)); i++ {
			t := float64(i)/float64(rate) - s.onset
			level := math.Min(1, t/0.06)
			if after := t - (s.end - s.onset); after > 0 {
				level = math.Pow(10, -down*after/20) * math.Min(1, (1.2-after)/0.05)
			}
			for h := 1; h <= 20; h++ {
				out[i] += float32(0.12 / float64(h) * level * math.Sin(2*math.Pi*f*float64(h)*t))
			}
		}
	}
	dsp.Noise(out, -75, 3)
	return out
}

func heldLong(t *testing.T, p *player, down float64) (measures []string) {
	const rate = 22050
	l, err := dsp.NewListener(dsp.Bass, rate)
	require.NoError(t, err)
	l.Push(p.bowed(rate, down))
	h, err := finding.Judge(p.piece, l.Finish(), finding.Options{})
	require.NoError(t, err)
	for _, f := range h.Findings {
		if f.Kind == finding.HeldLong {
			measures = append(measures, f.Measure)
		}
	}
	return measures
}

func TestAStringThatRingsOnUnderTheFingerWasNotHeldLong(t *testing.T) {
	for _, down := range []float64{15, 25, 40} {
		assert.Empty(t, heldLong(t, play(t, halves), down), "%g dB a second", down)
	}
}

func TestANoteBowedIntoItsRestWasHeldLong(t *testing.T) {
	p := play(t, halves)
	p.sounds[3].end += 1.0
	assert.Equal(t, []string{"4"}, heldLong(t, p, 60))
}
