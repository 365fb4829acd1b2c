package fingerboard

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestWhatIsNoShift(t *testing.T) {
	for why, notes := range map[string]string{
		"the first placing of the hand":              "C3/1 D3/4",
		"another string in one position":             "B1/1 E2/1 A2/1 F2/2",
		"an open string and back":                    "A2/1 G2/0 B2/4 D2/0 E2/1",
		"a long rest with the hand where it was":     "A2/1 - - - - - - - B2/4",
		"open strings only":                          "G2/0 D2/0 A1/0 E1/0",
		"a note that lies in no position, and back ": "A2/1 C1 B2/4",
	} {
		p := bass(t, notes)
		assert.Empty(t, p.Shifts, why)
		for _, n := range p.Notes {
			assert.LessOrEqual(t, n.Frame, 0, why)
		}
	}
	in := BassWithPivots()
	p := in.Finger(tune(t, "A2/1/p1 B2/4 C3/4/p1 B2/4 A2/1"), Options{})
	assert.Empty(t, p.Shifts, "a pivot is no shift")
	assert.True(t, p.Notes[2].Reach)
	assert.Equal(t, 0, p.Notes[2].Frame, "nor does it open a frame")
	p = Cello().Finger(tune(t, "B3/1/p1 C#4/2/p1 D#4/4/p1 D4/4/p1"), Options{})
	assert.Empty(t, p.Shifts, "an extension is no shift")
	assert.True(t, p.Notes[1].Reach)
}

func TestWhatIsAShift(t *testing.T) {
	for _, one := range []struct {
		why, notes string
		want       Shift
	}{
		{"from half to first position", "Ab2/1 A2/1",
			Shift{Note: 1, From: "half", To: "1", Semitones: 1, FingerFrom: "1", FingerTo: "1"}},
		{"over an open string", "A2/1 G2/0 C3/1",
			Shift{Note: 2, From: "1", To: "3", Semitones: 3, FingerFrom: "1", FingerTo: "1", CarriedBy: ByOpen}},
		{"across a rest", "A2/1 - C3/1",
			Shift{Note: 1, From: "1", To: "3", Semitones: 3, FingerFrom: "1", FingerTo: "1", CarriedBy: ByRest}},
		{"under a slur", "B2/4 C3/1/~",
			Shift{Note: 1, From: "1", To: "3", Semitones: 3, FingerFrom: "4", FingerTo: "1", CarriedBy: BySlur}},
		{"to another string", "B2/4/s1 G2/1/s2",
			Shift{Note: 1, From: "1", To: "3", Semitones: 3, FingerFrom: "4", FingerTo: "1"}},
		{"down the string", "D3/4 C3/1 B2/4",
			Shift{Note: 2, Before: 1, From: "3", To: "1", Semitones: -3, FingerFrom: "1", FingerTo: "4"}},
	} {
		p := bass(t, one.notes)
		require.Len(t, p.Shifts, 1, one.why)
		got := p.Shifts[0]
		one.want.String, one.want.Frame, one.want.LastNote = p.Notes[got.Note].String, 1, got.Note
		one.want.Marked = true
		assert.Equal(t, one.want, got, one.why)
	}
}

func TestAShiftThatOnlyOneFingeringMakesIsSaidToBeOurGuess(t *testing.T) {
	p := bass(t, "A2 Bb2 C3 Bb2 A2")
	require.NotEmpty(t, p.Shifts)
	for _, s := range p.Shifts {
		assert.False(t, s.Marked)
	}
	assert.True(t, p.Shifts[0].Alternative, "the hand may move on B-flat or on C")

	p = bass(t, "D2 E2 F#2 G2 A2 B2 C#3 D3")
	require.Len(t, p.Shifts, 1)
	assert.False(t, p.Shifts[0].Alternative, "C-sharp and D lie together only in third position, A and B in first")
	assert.False(t, p.Shifts[0].Marked)
}

func TestAShiftIsCheaperWhereSomethingCarriesIt(t *testing.T) {
	costOf := func(notes string) float64 { return bass(t, notes).Cost }
	plain := costOf("B2/4/s1 C3/1/s1")
	assert.Less(t, costOf("B2/4/s1 - C3/1/s1"), plain, "across a rest")
	assert.Greater(t, costOf("B2/4/s1 C3/1/s1/~"), plain, "under a slur")
	assert.Less(t, costOf("A2/1/s1 C3/1/s1"), plain, "one finger leads all the way")
	line := tune(t, "B2/4/s1 C3/1/s1")
	slow, fast := DoubleBass().Finger(line, Options{QPM: 60}), DoubleBass().Finger(line, Options{QPM: 240})
	assert.Less(t, slow.Cost, fast.Cost, "in a hurry")
}

func TestAShiftIsMarkedOnlyWhenBothItsEndsAre(t *testing.T) {
	for notes, marked := range map[string]bool{
		"A2/1 B2/4 C3/1 D3/4": true,
		"A2/1 B2 C3/1 D3/4":   true, // one finger places the whole frame
		"A2/p1 B2 C#3/p3 D3":  true,
		"A2 B2 C#3/2 D3/4":    false,
		"A2/1 B2/4 C#3 D3":    false,
		"A2 B2 C#3 D3":        false,
	} {
		p := bass(t, notes)
		require.Len(t, p.Shifts, 1, notes)
		assert.Equal(t, 2, p.Shifts[0].Note, notes)
		assert.Equal(t, marked, p.Shifts[0].Marked, notes)
	}
}

func TestTheHandDoesNotMoveForEveryNoteWhereOnePositionHoldsThem(t *testing.T) {
	// The same measure twice at 100 a minute: come to from first position on a low
	// string, and on a high one.
	line := tune(t, "C#2 A#1 C#2 -  B1*2 - -  C#3 A#2 C#3 -  B2*2 - -  C#3 A#2 C#3 -  B2*2 - -")
	found := measures(line, DoubleBass().Finger(line, Options{QPM: 100}))
	assert.Equal(t, []string{"1 3-4 1", "2 3-4 4", "1 3-4 1"}, found[2])
	assert.Equal(t, found[2], found[4])
	assert.Equal(t, []string{"1 1 4"}, found[3])
	for _, notes := range []string{"C3 D3 E3 D3 C3 D3 E3", "B2 C3 D3 C3 B2 C3", "A2 Bb2 C3 Bb2 A2 Bb2 C3"} {
		p := DoubleBass().Finger(tune(t, notes), Options{QPM: 100})
		row := 0
		for i := 1; i < len(p.Shifts); i++ {
			if row = row + 1; p.Shifts[i].Note != p.Shifts[i-1].Note+1 {
				row = 0
			}
			assert.Less(t, row, 2, "%s: %s", notes, fingers(p))
		}
	}
}
