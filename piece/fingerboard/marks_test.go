package fingerboard

import (
	"strings"
	"testing"

	"endpin/piece"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func bass(t *testing.T, text string) Plan {
	t.Helper()
	return DoubleBass().Finger(tune(t, text), Options{})
}

func TestAPositionWordHoldsUntilTheNext(t *testing.T) {
	// G and A lie under the hand in third position, on the second string.
	p := bass(t, "C3/p3 D3 G2/1/s2 A2 C3 B2/p1 A2 G2 E2")
	assert.Empty(t, p.Contradictions)
	require.Len(t, p.Shifts, 1)
	s := p.Shifts[0]
	assert.Equal(t, 5, s.Note)
	assert.Equal(t, "3", s.From)
	assert.Equal(t, "1", s.To)
	assert.Equal(t, -3, s.Semitones)
	assert.True(t, s.Marked)
	assert.Equal(t, 8, s.LastNote, "the frame of first position runs to the last E")
}

func TestAPositionWordHoldsOnlyWhileItCanBePlayed(t *testing.T) {
	p := bass(t, "C3/p3 D3 C3 B2 A2 Bb2 A2")
	require.Len(t, p.Shifts, 1, "B lies outside third position: the hand has left it")
	assert.Equal(t, 3, p.Shifts[0].Note)
	assert.Equal(t, "1", p.Shifts[0].To)
}

func TestAFingerTellsThePosition(t *testing.T) {
	for _, one := range []struct{ notes, fingers string }{
		{"A2/1 B2/4 C3/1", "1:1 4 3:1"},
		{"A2/1 B2/4 C3/4", "1:1 4 2:4"},
		{"A2/1 B2/4 C3/2", "1:1 4 2-3:2"},
		{"E2/1 F2/1", "1:1 2:1"},
		{"F1/1 G1/4", "half:1 4"},
		{"F2/2 A2/1", "1:2 1"},
	} {
		p := bass(t, one.notes)
		assert.Equal(t, one.fingers, fingers(p), one.notes)
		assert.Empty(t, p.Contradictions)
		for _, s := range p.Shifts {
			assert.True(t, s.Marked, "both ends stand under the teacher's fingers: %s", one.notes)
		}
	}
}

func TestAStringMarkPutsTheNoteThere(t *testing.T) {
	p := bass(t, "A2/s2")
	assert.Equal(t, 2, p.Notes[0].String)
	assert.Equal(t, 7, p.Notes[0].Semitones)
	p = bass(t, "G2/s2 G2/0 G2/1/s2")
	assert.Equal(t, []int{2, 1, 2}, []int{p.Notes[0].String, p.Notes[1].String, p.Notes[2].String})
	assert.Equal(t, []bool{false, true, false}, []bool{p.Notes[0].Open, p.Notes[1].Open, p.Notes[2].Open})
	assert.Equal(t, -1, p.Notes[1].Frame)
	assert.True(t, p.Notes[1].Marked)
	assert.True(t, p.Notes[2].Marked)
	assert.Empty(t, p.Shifts, "an open string between two notes of one position is no shift")
}

func TestMarksCountForMoreThanThePositionsAllowed(t *testing.T) {
	line := tune(t, "A2 C3/1 A2")
	p := DoubleBass().Finger(line, Options{Positions: []string{"1"}})
	assert.Empty(t, p.Outside)
	assert.Equal(t, "3", p.Notes[1].Position)
}

func TestContradictoryMarksAreNamedByMeasure(t *testing.T) {
	p := bass(t, "G2 A2 B2 C3 G1 F#2/0 A2/1/p3 A2/4/s4")
	require.Len(t, p.Contradictions, 3)
	assert.Equal(t, "Measure 2, beat 2: F♯2 cannot be played as marked (finger 0); none of them is kept.", p.Contradictions[0])
	assert.Equal(t, "Measure 2, beat 3: A2 cannot be played as marked (finger 1, position 3); kept: finger 1.", p.Contradictions[1])
	assert.Equal(t, "Measure 2, beat 4: A2 cannot be played as marked (finger 4, E string); kept: finger 4.", p.Contradictions[2])
	assert.Equal(t, "1", p.Notes[6].Finger, "a finger is kept before a position")
	assert.Equal(t, "4", p.Notes[7].Finger)
}

func TestNotesOutOfReachAreNamedWithThePositionToAdd(t *testing.T) {
	line := tune(t, "F1 A1 B1 C2 F1 D2 E2 C3 Eb1 A1 F1 Ab4")
	p := DoubleBass().Finger(line, Options{Positions: []string{"1", "3"}})
	assert.Equal(t, []string{
		"Measure 3: E♭1 lies below the lowest note of the double bass, E1.",
		"Measures 1, 2 and 3: F1 lies in none of the positions allowed; half position is the first that reaches it.",
		"Measure 3: A♭4 lies above the end of the fingerboard of the double bass, G4.",
	}, p.Outside)
	assert.True(t, p.Notes[0].Off)
	assert.Equal(t, -1, p.Notes[0].Frame)
	assert.Equal(t, "1", p.Notes[2].Position, "the notes around are fingered all the same")

	p = DoubleBass().Finger(tune(t, "E1 F1"), Options{NoOpenStrings: true})
	assert.Equal(t, []string{"Measure 1: E1 is an open string, and open strings are not allowed."}, p.Outside)
}

func TestPositionsAreWrittenOneByOneOrAsARange(t *testing.T) {
	for typed, want := range map[string]string{
		"half-3":        "half 1 2 2-3 3",
		"1,3":           "1 3",
		"2-3":           "2-3", // the place between the two, not a range
		"2,2-3,3":       "2 2-3 3",
		"half, 2-3-3-4": "half 2-3 3 3-4",
		"half-1,3,1":    "half 1 3",
		"":              "",
	} {
		got, err := DoubleBass().System.Range(typed)
		require.NoError(t, err, typed)
		assert.Equal(t, want, strings.Join(got, " "), typed)
	}
	for _, typed := range []string{"9", "3-1", "half-", "1-9", "-", "third"} {
		_, err := DoubleBass().System.Range(typed)
		assert.EqualError(t, err,
			`there is no position "`+typed+`"; there are half, 1, 2, 2-3, 3, 3-4, 4, 5, 5-6, 6, 6-7, 7, thumb, and ranges such as half-3`)
	}
}

func TestAnInstrumentThatIsNotHereIsRefused(t *testing.T) {
	_, err := ByWord("tuba")
	assert.ErrorContains(t, err, "bass, bass-pivots")
}

func TestAMarkedPositionOverAnOpenStringSendsTheHandThere(t *testing.T) {
	p := bass(t, "A2 G2/0/p3 C#3 D3")
	assert.Empty(t, p.Contradictions)
	assert.Equal(t, "1:1 0 3:2 4", fingers(p))
	assert.Equal(t, ByOpen, p.Shifts[0].CarriedBy)
	assert.Equal(t, 2, p.Shifts[0].Note, "the shift stands on the stopped note arrived at")
	assert.Equal(t, 0, p.Shifts[0].Before)
}

func TestANaturalHarmonicBelongsToNoFrame(t *testing.T) {
	// The G an octave above the open string, and the D a twelfth above it.
	for _, harmonic := range []string{"G3/o", "D4/o", "G3/o/3/pthumb/s1"} {
		p := bass(t, "A2 "+harmonic+" A2")
		require.Empty(t, p.Contradictions, harmonic)
		assert.True(t, p.Notes[1].Harmonic)
		assert.Equal(t, 1, p.Notes[1].String)
		assert.Equal(t, -1, p.Notes[1].Frame)
		assert.Equal(t, p.Notes[0].Frame, p.Notes[2].Frame)
		assert.Empty(t, p.Shifts, "the hand came back to where it was")
	}
	p := bass(t, "A2 G3/o/3 C3/1 D3/4")
	require.Len(t, p.Shifts, 1)
	assert.Equal(t, ByHarmonic, p.Shifts[0].CarriedBy)
	p = bass(t, "Eb2/o")
	assert.Equal(t, []string{"Measure 1, beat 1: E♭2 cannot be played as marked (harmonic); none of them is kept."}, p.Contradictions)
}

// Whatever a line and its marks ask, the plan keeps its promises.
func TestPlansHoldTogetherWhateverTheLine(t *testing.T) {
	for _, named := range Instruments() {
		in := named.Instrument
		for seed := range uint64(60) {
			line := wander(in, seed, int(seed), true)
			o := Options{QPM: float64(seed % 3 * 60), NoOpenStrings: seed%5 == 4}
			if seed%3 == 1 {
				o.Positions = []string{"1", "3"}
			}
			p := in.Finger(line, o)
			require.Len(t, p.Notes, len(line))
			holdsTogether(t, in, line, p)
		}
	}
}

func holdsTogether(t *testing.T, in Instrument, line []piece.Expected, p Plan) {
	t.Helper()
	contradicted := strings.Join(p.Contradictions, "\n")
	shifts := p.Shifts
	last, hand, position := -1, 0, ""
	for i, n := range p.Notes {
		if n.Off {
			assert.Equal(t, -1, n.Frame)
			continue
		}
		if !n.Harmonic {
			assert.Equal(t, line[i].MIDI, in.Strings[n.String-1].MIDI+n.Semitones)
		}
		assert.Equal(t, n.Open || n.Harmonic, n.Frame < 0)
		assert.False(t, n.Open && n.Finger != "0")
		m := line[i].Marks
		where := "Measure " + line[i].Number + ", beat " + []string{"1", "2", "3", "4"}[int(line[i].Beat)-1] + ":"
		if !strings.Contains(contradicted, where) {
			if m.Finger != "" {
				assert.Equal(t, m.Finger, n.Finger)
			}
			if m.String != 0 {
				assert.Equal(t, m.String, n.String)
			}
			if m.Position != "" && !n.Open {
				assert.Equal(t, m.Position, n.Position)
			}
			assert.Equal(t, m.Harmonic, n.Harmonic)
		}
		if !n.Stopped() {
			continue
		}
		switch {
		case last < 0:
			assert.Equal(t, 0, n.Frame, "the first placing opens the first frame and is no shift")
		case n.Hand != hand || n.Position != position:
			require.NotEmpty(t, shifts, "the hand moved and no shift says so")
			assert.Equal(t, i, shifts[0].Note)
			assert.Equal(t, last, shifts[0].Before)
			assert.Equal(t, n.Frame, shifts[0].Frame)
			assert.Equal(t, p.Notes[last].Frame+1, n.Frame)
			assert.Equal(t, p.Notes[last].Position, shifts[0].From)
			assert.Equal(t, n.Position, shifts[0].To)
			assert.GreaterOrEqual(t, shifts[0].LastNote, i)
			assert.Equal(t, n.Frame, p.Notes[shifts[0].LastNote].Frame)
			shifts = shifts[1:]
		default:
			assert.Equal(t, p.Notes[last].Frame, n.Frame)
		}
		last, hand, position = i, n.Hand, n.Position
	}
	assert.Empty(t, shifts)
}
