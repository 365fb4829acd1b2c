package align_test

import (
	"errors"
	"math"
	"math/rand"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp"
	"endpin/piece/align"
	"endpin/piece/notation"
)

// allRight asserts that every note of the page is matched to its own sound.
func allRight(t *testing.T, l line, tk take, but ...int) *align.Alignment {
	t.Helper()
	a := l.align(t, tk)
	missed := map[int]bool{}
	for _, i := range but {
		missed[i] = true
	}
	_, wrong := right(a, tk)
	assert.Zero(t, wrong, "matched to another note's sound")
	for i, m := range a.Matches {
		assert.Equal(t, !missed[i], m.Heard >= 0, "measure %s beat %g", l.notes[i].Number, l.notes[i].Beat)
	}
	return a
}

func TestATakeAtAnyPaceFromHalfToDoubleIsFound(t *testing.T) {
	l := written(t, ferry)
	for _, factor := range []float64{0.5, 0.6, 0.7, 0.8, 0.9, 1, 1.1, 1.25, 1.4, 1.6, 1.8, 2} {
		a := allRight(t, l, l.whole().bend(func(s float64) float64 { return s / factor }))
		assert.InDelta(t, 1/factor, a.Pace, 0.01/factor)
		assert.Empty(t, a.Extras)
		assert.Empty(t, a.Restarts)
		assert.Equal(t, 0, a.First)
		assert.Equal(t, len(l.notes)-1, a.Last)
		for _, m := range a.Matches {
			assert.InDelta(t, m.Note.Onset, m.Beat, 0.02, "a steady take is on its own beat")
		}
	}
}

func TestComposedTunesAreFoundAtAnyPace(t *testing.T) {
	for seed := range int64(30) {
		rng := rand.New(rand.NewSource(seed))
		l := composed(rng, 40)
		factor := math.Exp2(2*rng.Float64() - 1)
		tk := l.whole().bend(func(s float64) float64 { return s / factor }).sway(rng, 12, 25)
		a := l.align(t, tk)
		ok, _ := right(a, tk)
		assert.GreaterOrEqual(t, ok, 38, "seed %d, pace %.2f", seed, factor)
		assert.InDelta(t, 1/factor, a.Pace, 0.03/factor)
	}
}

func TestADriftingTempoIsFollowed(t *testing.T) {
	l := written(t, ferry)
	for _, share := range []float64{-0.35, -0.2, 0.2, 0.35} { // pace at the end against that at the start
		tk := l.whole().bend(func(s float64) float64 { return s * (1 + share/2 - share/2*s/36) })
		a := allRight(t, l, tk)
		for _, m := range a.Matches {
			assert.InDelta(t, m.Note.Onset, m.Beat, 0.06)
		}
	}
}

func TestTalkAndTuningBeforeTheStartAreLeftOut(t *testing.T) {
	l := written(t, ferry)
	rng := rand.New(rand.NewSource(1))
	var talk take
	at := 1.0
	for range 10 { // a voice: short notes that fit no scale
		talk = append(talk, sound{-1, 40 + 14*rng.Float64(), at, at + 0.15, 2.5, dsp.NotSure})
		at += 0.2 + 0.2*rng.Float64()
	}
	for _, open := range []float64{43, 38, 33, 28, 43, 38} { // the open strings, twice over
		talk = append(talk, sound{-1, open, at, at + 1.2, 4, dsp.Sure})
		at += 1.3
	}
	a := allRight(t, l, talk.then(1.5, l.whole()))
	assert.Empty(t, a.Restarts)
	assert.Empty(t, a.Extras, "before the start nothing is extra")
}

func TestTalkAfterTheEndIsLeftOut(t *testing.T) {
	l := written(t, ferry)
	rng := rand.New(rand.NewSource(2))
	tk, at := l.whole(), 40.0
	for range 8 {
		tk = append(tk, sound{-1, 40 + 14*rng.Float64(), at, at + 0.15, 2.5, dsp.NotSure})
		at += 0.3
	}
	a := allRight(t, l, tk)
	assert.Empty(t, a.Extras)
}

func TestALateStartInTheMiddleOfThePiece(t *testing.T) {
	l := written(t, ferry)
	from := l.at(t, "5", 1)
	a := l.align(t, l.played(from, len(l.notes)))
	assert.Equal(t, from, a.First)
	assert.Equal(t, len(l.notes)-1, a.Last)
	for i, m := range a.Matches {
		assert.Equal(t, i >= from, m.Heard >= 0, "note %d", i)
	}
}

func TestATakeThatBreaksOffEndsThere(t *testing.T) {
	l := written(t, ferry)
	for _, place := range []string{"5", "7", "8", "9", "10", "12"} {
		to := l.at(t, place, 1)
		a := l.align(t, l.played(0, to))
		assert.Equal(t, 0, a.First)
		assert.Equal(t, to-1, a.Last, "broken off before measure %s", place)
		assert.Empty(t, a.Restarts)
	}
}

func TestARestartSomeMeasuresBack(t *testing.T) {
	l := written(t, ferry)
	for _, c := range []struct {
		stop     string
		beat     float64
		to       string
		pause    float64
		lastBeat float64
	}{{"7", 2, "5", 1.5, 1}, {"6", 3, "6", 1, 2}, {"10", 4, "9", 0.8, 3}, {"7", 3, "3", 0, 2}} {
		stop, to := l.at(t, c.stop, c.beat), l.at(t, c.to, 1)
		tk := l.played(0, stop).then(c.pause, l.played(to, len(l.notes)))
		a := allRight(t, l, tk)
		require.Len(t, a.Restarts, 1, "%+v", c)
		r := a.Restarts[0]
		assert.Equal(t, to, r.To)
		assert.Equal(t, stop-1, r.From)
		assert.InDelta(t, tk[stop].on, r.At, 0.001)
		assert.GreaterOrEqual(t, a.Matches[to].Heard, stop, "the last time counts")
	}
}

func TestTwoAttemptsAreOneRestart(t *testing.T) {
	l := written(t, ferry)
	a := allRight(t, l, l.whole().then(4, l.whole()))
	require.Len(t, a.Restarts, 1)
	assert.Equal(t, 0, a.Restarts[0].To)
	assert.Equal(t, len(l.notes)-1, a.Restarts[0].From)
}

func TestAMeasureSkipped(t *testing.T) {
	l := written(t, ferry)
	for _, c := range [][2]string{{"5", "6"}, {"3", "5"}} {
		from, to := l.at(t, c[0], 1), l.at(t, c[1], 1)
		var missed []int
		for i := from; i < to; i++ {
			missed = append(missed, i)
		}
		t.Log("skipped from measure", c[0], "to", c[1])
		a := allRight(t, l, l.played(0, from).then(0, l.played(to, len(l.notes))), missed...)
		assert.Empty(t, a.Restarts)
	}
}

func TestAMeasurePlayedTwiceIsARestart(t *testing.T) {
	l := written(t, ferry)
	from, to := l.at(t, "5", 1), l.at(t, "6", 1)
	a := allRight(t, l, l.played(0, to).then(0, l.played(from, len(l.notes))))
	require.Len(t, a.Restarts, 1)
	assert.Equal(t, from, a.Restarts[0].To)
}

func TestWrongNotesKeepTheirPlaces(t *testing.T) {
	l := written(t, ferry)
	for _, semitones := range []float64{-4, -2, -1, 1, 2, 3, 7} {
		tk := l.whole()
		for _, i := range []int{5, 13, 22, 30} {
			tk[i].midi += semitones
		}
		a := allRight(t, l, tk)
		assert.Empty(t, a.Extras, "%g", semitones)
	}
}

func TestAnOctaveSlipKeepsItsPlace(t *testing.T) {
	l := written(t, ferry)
	tk := l.whole()
	tk[4].midi += 12
	tk[17].midi -= 12
	tk[18].midi -= 12
	a := allRight(t, l, tk)
	assert.Zero(t, a.Octave)
}

func TestATakeAnOctaveOffThroughout(t *testing.T) {
	l := written(t, ferry)
	for _, octave := range []int{-1, 1} {
		for _, factor := range []float64{0.7, 1, 1.3} {
			tk := l.whole().bend(func(s float64) float64 { return s / factor })
			for k := range tk {
				tk[k].midi += float64(12 * octave)
			}
			a, err := align.Align(l.notes, l.clock, tk.heard(), 440)
			if assert.NoError(t, err, "octave %d, pace %g", octave, factor) {
				assert.Equal(t, octave, a.Octave)
				ok, _ := right(a, tk)
				assert.Equal(t, len(l.notes), ok)
			}
		}
	}
}

func TestASplitNoteIsOneNote(t *testing.T) {
	l := written(t, ferry)
	i := l.at(t, "7", 3) // a half note
	tk := l.whole()
	mid := (tk[i].on + tk[i].off) / 2
	tk = append(tk, sound{i, tk[i].midi, mid, tk[i].off, 1.3, dsp.Sure})
	a := l.align(t, tk)
	assert.Empty(t, a.Extras)
	assert.InDelta(t, tk[i].on, a.Matches[i].Note.Onset, 0.001)
	assert.InDelta(t, tk[i].off, a.Matches[i].Note.Offset, 0.001, "the half that was cut off belongs to it")
}

func TestRepeatedNotesHeardAsOneAreNotMissing(t *testing.T) {
	l := written(t, `X:1
M:4/4
L:1/4
Q:1/4=80
K:G
G, G, A, B, | B, B, A, G, | D, D, E, F, | G, A, A, A, | B, A, G,2 |]
`)
	tk := l.whole()
	for _, i := range []int{14, 8, 4} { // each goes on under the next, on the same pitch
		tk[i].off = tk[i+1].off
		tk = append(tk[:i+1:i+1], tk[i+2:]...)
	}
	a := l.align(t, tk)
	for i, m := range a.Matches {
		assert.GreaterOrEqual(t, m.Heard, 0, "note %d", i)
	}
	for _, i := range []int{5, 9, 15} {
		assert.True(t, a.Matches[i].Guessed, "note %d", i)
		assert.InDelta(t, 1+l.clock[i], a.Matches[i].Note.Onset, 0.05)
	}
}

func TestARepeatedNoteThatWasNotPlayedIsMissing(t *testing.T) {
	l := written(t, `X:1
M:4/4
L:1/4
Q:1/4=80
K:G
G, G, A, B, | B, B, A, G, | D, D, E, F, | G, A, A, A, | B, A, G,2 |]
`)
	tk := l.whole()
	tk = append(tk[:9:9], tk[10:]...) // silence in its place
	a := l.align(t, tk)
	heard := 0
	for i := 8; i <= 9; i++ {
		if a.Matches[i].Heard >= 0 {
			heard++
		}
	}
	assert.Equal(t, 1, heard)
}

func TestANoteWithoutAnOnsetIsFoundInThePitchTrack(t *testing.T) {
	l := written(t, ferry)
	i := l.at(t, "3", 2)
	tk := l.whole()
	h := tk.heard()
	h.Notes[i-1].Offset = h.Notes[i].Offset // heard as one with the note before
	h.Notes = append(h.Notes[:i:i], h.Notes[i+1:]...)
	a, err := align.Align(l.notes, l.clock, h, 440)
	require.NoError(t, err)
	m := a.Matches[i]
	require.GreaterOrEqual(t, m.Heard, 0)
	assert.True(t, m.Recovered)
	assert.InDelta(t, tk[i].on, m.Note.Onset, 0.03)
	assert.InDelta(t, tk[i].midi, m.Note.Pitch, 0.02)
}

func TestAClickAndAVoiceInTheBackgroundAreExtra(t *testing.T) {
	l := written(t, ferry)
	i := l.at(t, "7", 3)
	tk := l.whole()
	tk = append(tk, sound{-1, 49.4, tk[i].on + 0.6, tk[i].on + 0.7, 3, dsp.NotSure})
	a := allRight(t, l, tk)
	assert.LessOrEqual(t, len(a.Extras), 1)
}

func TestAnotherReferenceIsTakenOff(t *testing.T) {
	l := written(t, ferry)
	for _, reference := range []float64{392, 415, 466} {
		tk := l.whole()
		for k := range tk {
			tk[k].midi += 12 * math.Log2(reference/440)
		}
		a, err := align.Align(l.notes, l.clock, tk.heard(), reference)
		require.NoError(t, err)
		ok, _ := right(a, tk)
		assert.Equal(t, len(l.notes), ok)
		for i, m := range a.Matches {
			assert.InDelta(t, l.notes[i].MIDI, m.Note.Pitch, 0.001)
		}
	}
}

func TestNothingHeardIsNothing(t *testing.T) {
	l := written(t, ferry)
	_, err := align.Align(l.notes, l.clock, &dsp.Heard{}, 440)
	assert.ErrorIs(t, err, align.ErrNothing)
	_, err = align.Align(nil, nil, l.whole().heard(), 440)
	assert.ErrorIs(t, err, align.ErrNothing)
}

func TestThePiecesOwnTempoMarksSetTheClock(t *testing.T) {
	l := written(t, `X:1
M:4/4
L:1/4
Q:1/4=80
K:G
G, A, B, A, | [Q:1/4=40] D, E, F, G, | [Q:1/4=160] C D C B, |]
`)
	want := []float64{0, .75, 1.5, 2.25, 3, 4.5, 6, 7.5, 9, 9.375, 9.75, 10.125} // 60/80, 60/40, 60/160 s a quarter
	assert.InDeltaSlice(t, want, l.clock, 1e-9)
}

// Another tune of the same kind must not be taken for the one on the page, and
// the one on the page must be known with every fifth note wrong.
func TestAnotherPieceIsToldFromTheRightOneWithManyWrongNotes(t *testing.T) {
	const tries = 100
	taken, refused := 0, 0
	for seed := range int64(tries) {
		rng := rand.New(rand.NewSource(seed))
		l, other := composed(rng, 40), composed(rng, 40)
		if _, err := align.Align(l.notes, l.clock, other.whole().sway(rng, 12, 30).heard(), 440); err == nil {
			taken++
		} else {
			assert.True(t, errors.Is(err, align.ErrNothing))
		}
		tk := l.whole().sway(rng, 12, 30)
		for _, k := range rng.Perm(len(tk))[:8] {
			tk[k].midi += []float64{-4, -3, -2, -1, 1, 2, 3, 4}[rng.Intn(8)]
		}
		if _, err := align.Align(l.notes, l.clock, tk.heard(), 440); err != nil {
			refused++
		}
	}
	t.Logf("of %d: another piece taken %d times, the right one refused %d times", tries, taken, refused)
	assert.LessOrEqual(t, taken*50, tries, "another piece taken for this one")
	assert.LessOrEqual(t, refused*50, tries, "this piece refused")
}

func TestABeatLeftOutPutsTheBeatOffOnce(t *testing.T) {
	l := written(t, ferry)
	for _, number := range []string{"4", "5", "6", "8", "9", "10"} {
		for _, beats := range []float64{-1, 1} {
			from := l.at(t, number, 1)
			tk := l.whole()
			for k := from; k < len(tk); k++ {
				tk[k].on += 0.75 * beats
				tk[k].off += 0.75 * beats
			}
			tk[from-1].off = math.Max(tk[from-1].on+0.3, math.Min(tk[from-1].off, tk[from].on))
			if tk[from-1].on > tk[from].on-0.1 {
				continue // the note before it was that beat
			}
			a := l.align(t, tk)
			for i, m := range a.Matches {
				if i == from {
					assert.InDelta(t, 0.75*beats, m.Step, 0.04, "measure %s", number)
					continue
				}
				assert.Zero(t, m.Step, "measure %s: put off at note %d too", number, i)
				assert.InDelta(t, m.Note.Onset, m.Beat, 0.03, "measure %s, %g beats: note %d", number, beats, i)
			}
		}
	}
}

// gMajor plays the scale of G over some octaves up and down, even notes of so many seconds.
func gMajor(octaves int, length float64) (tk take) {
	var scale []int
	for k := range 7*octaves + 1 {
		scale = append(scale, 31+12*(k/7)+[]int{0, 2, 4, 5, 7, 9, 11}[k%7])
	}
	for k := range 2*len(scale) - 1 {
		on := 1 + length*float64(k)
		tk = append(tk, sound{-1, float64(scale[min(k, 2*len(scale)-2-k)]), on, on + length, 4, dsp.Sure})
	}
	return tk
}

// A piece in the key of a scale has a few measures of it, somewhere: by chance.
func TestAScaleIsNoPieceInItsKey(t *testing.T) {
	for _, name := range []string{"harbor_steps.musicxml", "low_tide.abc", "two_places.musicxml", "lantern_row.abc", "cart_track.abc", "lamplight.musicxml", "stone_bridge.abc"} {
		text, err := os.ReadFile("../../testdata/pieces/" + name)
		require.NoError(t, err)
		p, err := notation.Read(name, text)
		require.NoError(t, err)
		notes, _ := p.Line()
		l := line{notes, align.Clock(p, notes, 76)}
		for _, octaves := range []int{1, 2} {
			for _, length := range []float64{0.4, 0.8, 1.6} {
				scale := gMajor(octaves, length)
				_, err := align.Align(l.notes, l.clock, scale.heard(), 440)
				assert.ErrorIs(t, err, align.ErrNothing, "%s, %d octaves, %g s a note", name, octaves, length)
			}
		}
		a := l.align(t, gMajor(2, 0.4).then(2, l.whole()))
		assert.Zero(t, a.First, "%s, after a scale", name)
		assert.Equal(t, len(l.notes)-1, a.Last)
	}
}
