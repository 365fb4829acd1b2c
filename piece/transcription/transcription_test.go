package transcription_test

import (
	"fmt"
	"math"
	"math/rand"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/dsp"
	"endpin/piece"
	"endpin/piece/midi"
	"endpin/piece/notation"
	"endpin/piece/transcription"
	"endpin/piece/writing"
)

var bass = writing.Staff{Part: "Double bass", Clef: piece.Clef{Sign: "F", Line: 4}, Transposed: -12}

// printed are the pieces of testdata without repeat signs: as long as they are printed.
func printed(t *testing.T) map[string]*piece.Piece {
	files, err := filepath.Glob("../../testdata/pieces/*")
	require.NoError(t, err)
	all := map[string]*piece.Piece{}
	for _, f := range files {
		data, err := os.ReadFile(f)
		require.NoError(t, err)
		p, err := notation.Read(f, data)
		if err != nil {
			continue
		}
		for i := range p.Measures {
			m := &p.Measures[i]
			m.RepeatStart, m.RepeatTimes, m.Endings, m.Jump, m.ToCoda, m.Fine = false, 0, nil, piece.NoJump, false, false
		}
		all[filepath.Base(f)] = p
	}
	require.Greater(t, len(all), 8)
	return all
}

// played is a piece at a tempo, its onsets scattered by 20 ms, its pace by a share.
func played(p *piece.Piece, qpm, pace float64, seed int64) (sounds []transcription.Sound) {
	rng := rand.New(rand.NewSource(seed))
	line, _ := p.Line()
	now, last := 1.0, 0.0
	for _, e := range line {
		at := e.Onset.Quarters()
		now += (at - last) * 60 / qpm * (1 + pace*rng.NormFloat64())
		last = at
		sounds = append(sounds, transcription.Sound{Onset: now + 0.02*rng.NormFloat64(),
			Offset: now + 0.93*e.Length.Quarters()*60/qpm, Pitch: float64(e.MIDI) + 0.1, Bound: e.Slurred})
	}
	return sounds
}

// onsets is a line as its beats and pitches say it.
func onsets(p *piece.Piece) (all []string) {
	line, _ := p.Line()
	for _, e := range line {
		all = append(all, fmt.Sprintf("measure %s beat %.3g: %d", e.Number, e.Beat, e.MIDI))
	}
	return all
}

func TestATunePlayedWithAClickIsWrittenAsItIsPrinted(t *testing.T) {
	for name, p := range printed(t) {
		m := &p.Measures[0]
		w, err := transcription.Of(played(p, 84, 0, 1), transcription.Asked{QPM: 84, Time: &m.Time, Key: &m.Key, Staff: bass})
		require.NoError(t, err, name)
		want, got := onsets(p), onsets(w.Piece)
		require.Len(t, got, len(want), name)
		wrong := 0
		for i := range want {
			if want[i] != got[i] {
				wrong++
			}
		}
		assert.LessOrEqual(t, wrong, len(want)/20, "%s: %d of %d notes stand elsewhere", name, wrong, len(want))
	}
}

func TestTheTempoOfATunePlayedAloneIsFound(t *testing.T) {
	for name, p := range printed(t) {
		m := &p.Measures[0]
		w, err := transcription.Of(played(p, 72, 0.02, 2), transcription.Asked{Time: &m.Time, Staff: bass})
		require.NoError(t, err, name)
		assert.InDelta(t, 1, w.QPM/72, 0.02, name)
		assert.Equal(t, m.Key.Fifths, w.Key.Fifths, "the key of %s", name)
	}
}

// The tuning of the player is nobody's mistake: all a quarter tone low is no other pitch
// than all in tune, but for where a quarter tone lies between two.
func TestABassTunedLowIsWrittenAtItsOwnPitches(t *testing.T) {
	for name, p := range printed(t) {
		sounds := played(p, 84, 0, 3)
		for i := range sounds {
			sounds[i].Pitch -= 0.4
		}
		m := &p.Measures[0]
		w, err := transcription.Of(sounds, transcription.Asked{QPM: 84, Time: &m.Time, Key: &m.Key, Staff: bass})
		require.NoError(t, err)
		line, _ := w.Piece.Line()
		want, _ := p.Line()
		for i := range line {
			assert.Equal(t, want[i].MIDI, line[i].MIDI, "%s, note %d", name, i)
		}
		assert.Empty(t, pitches(w.Doubts), name)
	}
}

func pitches(doubts []transcription.Doubt) (about []transcription.Doubt) {
	for _, d := range doubts {
		if d.About == transcription.OfPitch {
			about = append(about, d)
		}
	}
	return about
}

func TestANoteBetweenTwoPitchesIsInDoubt(t *testing.T) {
	p := printed(t)["harbor_steps.musicxml"]
	sounds := played(p, 84, 0, 4)
	sounds[9].Pitch += 0.45
	m := &p.Measures[0]
	w, err := transcription.Of(sounds, transcription.Asked{QPM: 84, Time: &m.Time, Key: &m.Key, Staff: bass})
	require.NoError(t, err)
	doubts := pitches(w.Doubts)
	require.Len(t, doubts, 1)
	n := w.Piece.Measures[doubts[0].At.Measure].Notes[doubts[0].At.Note]
	assert.Equal(t, int(sounds[9].Pitch), n.MIDI)
}

// A note midway between two places of the metre may be at either.
func TestANoteBetweenTwoPlacesIsInDoubt(t *testing.T) {
	var sounds []transcription.Sound
	for i := range 16 {
		at := 0.7 * float64(i)
		if i == 5 {
			at += 0.175 // midway between the beat and its half
		}
		sounds = append(sounds, transcription.Sound{Onset: 1 + at, Offset: 1.6 + 0.7*float64(i), Pitch: 43})
	}
	w, err := transcription.Of(sounds, transcription.Asked{QPM: 60 / 0.7, Time: &piece.Time{Beats: 4, Unit: 4}, Staff: bass})
	require.NoError(t, err)
	require.NotEmpty(t, w.Doubts)
	assert.Equal(t, "2", w.Doubts[0].Measure)
	assert.Equal(t, transcription.OfRhythm, w.Doubts[0].About)
}

// Spelled by the key and by what stands around: the leading note of D minor is C♯, the
// flattened sixth of D major B♭ (common practice).
func TestChromaticNotesAreSpelledByTheirSurroundings(t *testing.T) {
	for _, c := range []struct {
		key   piece.Key
		midi  []int
		steps string
	}{
		{piece.Key{Fifths: -1, Minor: true}, []int{38, 40, 41, 43, 45, 46, 37, 38}, "D E F G A B♭ C♯ D "},
		{piece.Key{Fifths: 2}, []int{38, 40, 42, 43, 45, 46, 45, 42}, "D E F♯ G A B♭ A F♯ "},
		{piece.Key{Fifths: 1}, []int{43, 45, 47, 48, 49, 50, 47, 43}, "G A B C C♯ D B G "},
	} {
		var sounds []transcription.Sound
		for i, m := range c.midi {
			sounds = append(sounds, transcription.Sound{Onset: float64(i), Offset: float64(i) + 0.9, Pitch: float64(m)})
		}
		w, err := transcription.Of(sounds, transcription.Asked{QPM: 60, Time: &piece.Time{Beats: 4, Unit: 4}, Key: &c.key, Staff: bass})
		require.NoError(t, err)
		spelled := ""
		for _, m := range w.Piece.Measures {
			for _, n := range m.Notes {
				spelled += n.Step + map[int]string{-1: "♭", 0: "", 1: "♯"}[n.Alter] + " "
			}
		}
		assert.Equal(t, c.steps, spelled)
	}
}

// evenly are sounds on one pitch, each so many quarter notes after the one before, at ♩ = 96.
func evenly(quarters ...float64) (sounds []transcription.Sound) {
	now := 1.0
	for _, q := range quarters {
		sounds = append(sounds, transcription.Sound{Onset: now, Offset: now + 0.93*q*60/96, Pitch: 43})
		now += q * 60 / 96
	}
	return sounds
}

func written(t *testing.T, sounds []transcription.Sound) *transcription.Written {
	w, err := transcription.Of(sounds, transcription.Asked{QPM: 96, Time: &piece.Time{Beats: 4, Unit: 4}, Staff: bass})
	require.NoError(t, err)
	return w
}

// soften makes of a note a mere sign of one, inside of the note before.
func soften(sounds []transcription.Sound, i int) {
	s, before := &sounds[i], &sounds[i-1]
	s.Soft, s.Since, before.Offset = true, s.Onset-before.Onset, s.Offset
}

func TestASoftStrokeIsANoteWhereTheMetreHasOne(t *testing.T) {
	tune := []float64{1, 1, 0.5, 0.5, 1, 1, 1, 2}
	want := onsets(written(t, evenly(tune...)).Piece)
	for i := 1; i < len(tune); i++ {
		sounds := evenly(tune...)
		soften(sounds, i)
		assert.Equal(t, want, onsets(written(t, sounds).Piece), "note %d", i)
	}
}

func TestTheUnrestOfAnAttackIsNoNote(t *testing.T) {
	want := onsets(written(t, evenly(1, 1, 1, 1, 1, 1, 2)).Piece)
	sounds := evenly(1, 1, 1, 1, 1, 1, 2)
	for i := len(sounds) - 1; i >= 0; i-- {
		sign := sounds[i]
		sign.Soft, sign.Since, sign.Onset = true, 0.13, sign.Onset+0.13
		sounds = slices.Insert(sounds, i+1, sign)
	}
	assert.Equal(t, want, onsets(written(t, sounds).Piece))
}

// Halves that begin on the second beat of four have a pickup of one beat, or of three: the
// shorter is the commoner (common practice, no source).
func TestAPickupIsTheShorterOfTwo(t *testing.T) {
	p := written(t, evenly(1, 2, 2, 2, 2, 2, 2)).Piece
	require.True(t, p.Measures[0].Implicit)
	assert.Equal(t, piece.Quarter, p.Measures[0].Length)
}

// With the click of the desk the first of the measure is known; who comes in beside it, or
// counts the measures in another way, is still followed.
func TestAClickTellsWhereTheMeasuresBegin(t *testing.T) {
	beat := 60. / 96
	for pickup, first := range map[float64]float64{1: 1 + beat, 2: 1 + 2*beat, 3: 1 - beat, 0: 1} {
		click := first + 0.04 - 16*beat
		w, err := transcription.Of(evenly(1, 1, 1, 1, 1, 1, 1, 1, 1), transcription.Asked{QPM: 96, Time: &piece.Time{Beats: 4, Unit: 4}, Click: &click, Staff: bass})
		require.NoError(t, err)
		m := w.Piece.Measures[0]
		assert.Equal(t, pickup, float64(m.Length%(4*piece.Quarter))/float64(piece.Quarter))
	}
	click := 1 - 2*beat
	w, err := transcription.Of(evenly(1, 1, 2, 4, 1, 1, 2, 4, 4, 1, 1, 2, 4, 4), transcription.Asked{QPM: 96, Time: &piece.Time{Beats: 4, Unit: 4}, Click: &click, Staff: bass})
	require.NoError(t, err)
	assert.False(t, w.Piece.Measures[0].Implicit, "the tune says plainly that its measures begin elsewhere")
}

func TestThreeNotesOfABeatAreATripletBeforeTheyAreASyncopation(t *testing.T) {
	sounds := evenly(1, 0.3, 0.4, 0.3, 1, 1, 1, 1, 2)
	assert.Equal(t, piece.Quarter/3, written(t, sounds).Piece.Measures[0].Notes[1].Length)
}

// A plucked note is followed until its pitch is lost; written is how long it rings.
func TestAPluckedNoteLastsUntilItIsDamped(t *testing.T) {
	for _, c := range []struct {
		damped float64 // s
		why    string
	}{{3, "it died away under the next note"}, {2.2, "it was damped"}} {
		h := &dsp.Heard{Notes: []dsp.Note{{Onset: 1, Offset: 1.8, Pitch: 43, Plucked: true}, {Onset: 3, Offset: 3.5, Pitch: 43, Plucked: true}}}
		for at := 0.0; at < 4; at += 0.005 {
			level := -80.0
			if at >= 1 && at < c.damped {
				level = -16 - 20*(at-1) - 4*math.Abs(math.Sin(9*at)) // dB: it beats with the body
			}
			h.Frames = append(h.Frames, dsp.Frame{Time: at, Level: level})
		}
		h.Notes[1].Kind = dsp.PitchChange
		sounds := transcription.Heard(h, 28)
		assert.InDelta(t, c.damped, sounds[0].Offset, 0.1, c.why)
		assert.False(t, sounds[1].Bound, "no bow binds what is plucked")
	}
}

func TestTooFewNotesMakeNoPage(t *testing.T) {
	_, err := transcription.Of(nil, transcription.Asked{Staff: bass})
	assert.ErrorContains(t, err, "at least")
}

// What is written as MIDI and read again is the piece, its repeats played out.
func TestAPieceComesBackFromMIDIAsItSounds(t *testing.T) {
	for name, p := range printed(t) {
		var file writerOf
		require.NoError(t, midi.Write(&file, p, 0))
		f, err := midi.Read(file)
		require.NoError(t, err)
		w, err := transcription.OfMIDI(f, transcription.Wanted{Staff: bass, Low: 28, High: 67})
		require.NoError(t, err, name)
		assert.Equal(t, onsets(p), onsets(w.Piece), name)
		assert.Equal(t, p.Measures[0].Implicit, w.Piece.Measures[0].Implicit, name)
		assert.Equal(t, p.Measures[0].Time, w.Piece.Measures[0].Time, name)
	}
}

// A pickup, three metres and a compound one, two keys, a second tempo, and a note held over
// a change of the metre.
const changing = `X:1
M:4/4
L:1/4
Q:1/4=96
K:D clef=bass
D,, | D, E, F, G, | A,2 F, D, |[M:3/4] G, B, G, | A,2 A, | B, A, G, |[M:2/4][K:F] F, A, | B,2- |
[M:6/8][Q:1/4=80] B,3/2 A,/2B,/2C/2 | D3/2 A,3/2 | [M:4/4][K:D] F,2 E,2 | D,4 |]
`

func TestMetresKeysAndTemposChangeWhereAFileOfMIDISaysSo(t *testing.T) {
	p, err := notation.Read("changing.abc", []byte(changing))
	require.NoError(t, err)
	var file writerOf
	require.NoError(t, midi.Write(&file, p, 0))
	f, err := midi.Read(file)
	require.NoError(t, err)
	w, err := transcription.OfMIDI(f, transcription.Wanted{Staff: bass, Low: 28, High: 67})
	require.NoError(t, err)
	assert.Equal(t, onsets(p), onsets(w.Piece))
	require.Len(t, w.Piece.Measures, len(p.Measures))
	for i, m := range p.Measures {
		got := w.Piece.Measures[i]
		assert.Equal(t, []any{m.Number, m.Time, m.Key, m.Length, m.Tempos}, []any{got.Number, got.Time, got.Key, got.Length, got.Tempos}, "measure %s", m.Number)
	}
}

// Played by hand: notes of one or two, beside every place of the metre, and a key that changes
// in the midst of a measure.
func TestAFewNotesOfMIDIBesideTheBeatAreAPage(t *testing.T) {
	for _, on := range []float64{0, 0.04, 0.21, 0.46, 3.98} {
		f := &midi.File{Tracks: []midi.Track{{Notes: []midi.Note{{On: on, Off: on + 0.9, Pitch: 43}, {On: 5 + on, Off: 6, Pitch: 45}}}},
			Keys: []midi.Key{{At: 0, Fifths: 1}, {At: 4.5, Fifths: 2}}, Metres: []midi.Metre{{At: 0, Beats: 3, Unit: 4}, {At: 3, Beats: 5, Unit: 8}, {At: 3.01, Beats: 3, Unit: 4}}}
		w, err := transcription.OfMIDI(f, transcription.Wanted{Staff: bass, Low: 28, High: 67})
		require.NoError(t, err)
		line, _ := w.Piece.Line()
		assert.Len(t, line, 2, "a note at %g", on)
	}
}

type writerOf []byte

func (b *writerOf) Write(p []byte) (int, error) {
	*b = append(*b, p...)
	return len(p), nil
}
