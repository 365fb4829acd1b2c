package drill_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/assets"
	"endpin/piece"
	"endpin/piece/drill"
	"endpin/piece/fingerboard"
	"endpin/piece/notation"
	"endpin/piece/words/pseudo"
	"endpin/piece/writing"
)

var bass = writing.Staff{Part: "Double bass", Clef: piece.Clef{Sign: "F", Line: 4}, Transposed: -12}

// demo is in G major; its hand shifts from first to third position in measure 5.
func demo(t *testing.T) *piece.Piece {
	t.Helper()
	p, err := notation.Read(assets.DemoPieceName, assets.DemoPiece)
	require.NoError(t, err)
	return p
}

func sounding(p *piece.Piece) (midi []int) {
	line, _ := p.Line()
	for _, n := range line {
		midi = append(midi, n.MIDI)
	}
	return midi
}

func TestAScaleGoesUpAndDownInTheKeyOfThePiece(t *testing.T) {
	p, err := drill.Scale(demo(t), fingerboard.DoubleBass(), bass, 1)
	require.NoError(t, err)
	assert.Equal(t, "G major, one octave", p.Title)
	assert.Equal(t, []int{31, 33, 35, 36, 38, 40, 42, 43, 42, 40, 38, 36, 35, 33, 31}, sounding(p))
	assert.Equal(t, 1, p.Measures[0].Key.Fifths)
	assert.Equal(t, piece.Spelling{Step: "F", Alter: 1, Octave: 3}, p.Measures[1].Notes[2].Spelling)
	p, err = drill.Scale(demo(t), fingerboard.DoubleBass(), bass, 2)
	require.NoError(t, err)
	assert.Len(t, sounding(p), 29)
	assert.Len(t, p.Measures, 8, "the last tonic fills its measure")
	marked := 0
	for _, m := range p.Measures {
		for _, n := range m.Notes {
			if n.Marks.Position != "" {
				marked++
			}
		}
	}
	assert.Greater(t, marked, 3, "the positions stand over it")
}

// In A minor the sixth and the seventh degree are raised on the way up alone.
func TestAMinorScaleIsMelodicUpwards(t *testing.T) {
	p := demo(t)
	p.Measures[0].Key = piece.Key{Minor: true}
	scale, err := drill.Scale(p, fingerboard.DoubleBass(), bass, 1)
	require.NoError(t, err)
	assert.Equal(t, "A minor, one octave", scale.Title)
	assert.Equal(t, []int{33, 35, 36, 38, 40, 42, 44, 45, 43, 41, 40, 38, 36, 35, 33}, sounding(scale))
	assert.Equal(t, "G", scale.Measures[1].Notes[2].Step)
}

func TestEveryKeyHasItsScale(t *testing.T) {
	for _, minor := range []bool{false, true} {
		for fifths := -7; fifths <= 7; fifths++ {
			p := demo(t)
			p.Measures[0].Key = piece.Key{Fifths: fifths, Minor: minor}
			scale, err := drill.Scale(p, fingerboard.DoubleBass(), bass, 1)
			require.NoError(t, err, fifths)
			low, high := fingerboard.DoubleBass().Range()
			letter, _ := p.Measures[0].Key.Tonic()
			assert.Equal(t, letter, scale.Measures[0].Notes[0].Step, fifths)
			for i, n := range scale.Measures[0].Notes[1:] {
				assert.Equal(t, "CDEFGABCDEFGAB"[index(letter)+i+1:][:1], n.Step, "%d: each letter once", fifths)
			}
			for _, m := range sounding(scale) {
				assert.True(t, m >= low && m <= high)
			}
		}
	}
}

func index(letter string) int {
	return map[string]int{"C": 0, "D": 1, "E": 2, "F": 3, "G": 4, "A": 5, "B": 6}[letter]
}

func TestAShiftIsDrilledOnEachStringWithItsFingersAndPositions(t *testing.T) {
	p, err := drill.Shift(demo(t), fingerboard.DoubleBass(), bass, "5")
	require.NoError(t, err)
	assert.Equal(t, "The shift of measure 5, on each string: Stairs to the Loft", p.Title)
	require.Len(t, p.Measures, 8)
	for i, open := range []int{43, 38, 33, 28} {
		for k, n := range p.Measures[2*i].Notes {
			want := piece.Marks{Finger: "1", String: i + 1, Position: "1"}
			midi := open + 2
			if k%2 == 1 {
				want, midi = piece.Marks{Finger: "4", String: i + 1, Position: "3"}, open+7
			}
			assert.Equal(t, want, n.Marks)
			assert.Equal(t, midi, n.MIDI)
		}
	}
	line, _ := p.Line()
	plan := fingerboard.DoubleBass().Finger(line, fingerboard.Options{QPM: drill.QPM})
	assert.Len(t, plan.Shifts, 23, "the hand goes there and back at every note but the first")
	assert.Empty(t, plan.Contradictions)
}

func TestWhatCannotBeDrilledIsSaidInTheLanguage(t *testing.T) {
	defer pseudo.Speak()()
	in := fingerboard.DoubleBass()
	for _, octaves := range []int{0, 3} {
		_, err := drill.Scale(demo(t), in, bass, octaves)
		require.Error(t, err)
		assert.Empty(t, pseudo.Plain(err.Error()))
	}
	in.Reach = 7
	_, err := drill.Scale(demo(t), in, bass, 2)
	require.Error(t, err)
	assert.Empty(t, pseudo.Plain(err.Error(), "G"))
	for _, measure := range []string{"1", "99"} {
		_, err = drill.Shift(demo(t), in, bass, measure)
		require.Error(t, err)
	}
}

// positions are those in which the hand lies.
func positions(p *piece.Piece) (all []string) {
	line, _ := p.Line()
	for _, f := range fingerboard.DoubleBass().Finger(line, fingerboard.Options{QPM: drill.QPM}).Notes {
		if f.Stopped() && !slices.Contains(all, f.Position) {
			all = append(all, f.Position)
		}
	}
	return all
}

// The demo lies in first and third position, and so does its scale, in B major too, which
// a piece in first position alone has in half position as well: it is not reached there.
func TestAScaleStaysInThePositionsOfThePieceWhereTheyReach(t *testing.T) {
	demo := demo(t)
	low, err := notation.Read("low.abc", []byte("X:1\nL:1/4\nK:D clef=bass\nD,,!1!E,,F,,G,,|A,,!1!B,,C,D,|\n"))
	require.NoError(t, err)
	for _, x := range []struct {
		of         *piece.Piece
		lies, goes []string
	}{{demo, []string{"1", "3"}, []string{"1", "3"}}, {low, []string{"1"}, []string{"1", "half"}}} {
		x.of.Measures[0].Key = piece.Key{Fifths: 5}
		assert.ElementsMatch(t, x.lies, positions(x.of))
		scale, err := drill.Scale(x.of, fingerboard.DoubleBass(), bass, 1)
		require.NoError(t, err)
		assert.ElementsMatch(t, x.goes, positions(scale))
	}
}

func TestADrillRemembersTheSchoolOfItsPiece(t *testing.T) {
	p := demo(t)
	p.School = "first-year"
	in := fingerboard.DoubleBass().For(p)
	scale, err := drill.Scale(p, in, bass, 1)
	require.NoError(t, err)
	shift, err := drill.Shift(p, in, bass, "5")
	require.NoError(t, err)
	assert.Equal(t, []string{"first-year", "first-year"}, []string{scale.School, shift.School})
}
