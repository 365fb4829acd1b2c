package fingerboard

import (
	"strings"
	"testing"

	"endpin/piece/words"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The contents of F. Simandl, "New Method for String Bass" (ed. Sankey), part I:
// "The Half-Position and the Other Eleven Positions. The Major Scales". Of the
// methods of Simandl, Nanny and Streicher M. Hovnanian ("Bottesini Method, part
// 2", csobassblog.blogspot.com) says that their positions "inch up the fingerboard
// by half steps", that "the fingers 1, 2 and 4 are used exclusively", and that
// they disagree a little "as to when the 3rd finger replaces the fourth near the
// octave point".
func TestTheBassHasAHalfPositionAndElevenOthersBelowTheThumb(t *testing.T) {
	tokens := DoubleBass().System.Tokens()
	assert.Equal(t, "half 1 2 2-3 3 3-4 4 5 5-6 6 6-7 7 thumb", strings.Join(tokens, " "))
	require.Equal(t, "thumb", tokens[len(tokens)-1])
	assert.Equal(t, 1+11, len(tokens)-1)
}

// What the first finger plays on every string in every position: JanDW, "Double
// bass — fingerboard octave", 2019, gist.github.com/JanDW/8db9925d29b9380f23be7ceb16e2f3a2.
// Where the chart says 2½, we say 2-3.
func TestTheFirstFingerLiesWhereAPublishedChartSays(t *testing.T) {
	in := DoubleBass()
	for position, chart := range map[string]string{ // E, A, D, G string
		"half": "F B♭ E♭ A♭", "1": "F♯ B E A", "2": "G C F B♭", "2-3": "A♭ C♯ F♯ B",
		"3": "A D G C", "3-4": "B♭ E♭ A♭ C♯", "4": "B E A D", "5": "C F B♭ E♭",
		"5-6": "C♯ F♯ B E", "6": "D G C F", "6-7": "E♭ A♭ C♯ F♯", "7": "E A D G",
	} {
		for i, name := range []string{"E", "A", "D", "G"} {
			cell := under(t, in, position, name)
			assert.True(t, strings.HasPrefix(cell, "1 "+strings.Fields(chart)[i]), "%s position, %s string: %s", position, name, cell)
		}
	}
}

// "Switching to the Double Bass", chapters 2 and 4 (fowlerbass.com): what the
// first, second and fourth finger play in half, first and third position.
func TestTheFingersPlayWhatTheChartSays(t *testing.T) {
	for _, row := range []struct{ position, str, notes string }{
		{"half", "G", "1 A♭2  2 A2  4 B♭2"},
		{"1", "G", "1 A2  2 B♭2  4 B2"},
		{"1", "A", "1 B1  2 C2  4 C♯2"},
		{"3", "G", "1 C3  2 C♯3  4 D3"},
		{"3", "D", "1 G2  2 A♭2  4 A2"},
	} {
		assert.Equal(t, row.notes, under(t, DoubleBass(), row.position, row.str), "%s position, %s string", row.position, row.str)
	}
}

// Common practice, no source.
func TestWhereTheHandLiesOnTheBass(t *testing.T) {
	in := DoubleBass()
	first := map[string]int{}
	for _, p := range in.System.Positions {
		if p.Token == "thumb" {
			continue
		}
		first[p.Token] = p.First()
		little := p.Hand[2]
		assert.Equal(t, 2, little.Above, "first to last finger is a whole tone in every position: %s", p.Token)
		assert.Equal(t, 1, p.Hand[1].Above, "and the second finger halves it: %s", p.Token)
		assert.Equal(t, map[bool]string{true: "4", false: "3"}[p.At < 9], little.Name, "past the heel the third replaces the fourth")
	}
	assert.Equal(t, map[string]int{"half": 1, "1": 2, "2": 3, "2-3": 4, "3": 5, "3-4": 6, "4": 7, "5": 8, "5-6": 9, "6": 10, "6-7": 11, "7": 12}, first)
	for _, at := range []int{1, 2, 3} {
		assert.Equal(t, in.Strings[at-1].MIDI, in.Strings[at].MIDI+5, "tuned in fourths")
	}
	assert.Equal(t, "1 G3  2 A♭3  3 A3", under(t, in, "7", "G"), "seventh position begins at the octave")
}

// Common practice (from memory): the notes of first position.
func TestFirstPositionOnTheOtherInstruments(t *testing.T) {
	for word, notes := range map[string]string{
		"bass-pivots":       "1 A2  2 B♭2  4 B2  (1 A♭2)  (4 C3)",
		"bass-four-fingers": "1 A2  2 B♭2  3 B2  4 C3",
		"bass-solo":         "1 B2  2 C3  4 C♯3",
		"bass-five-strings": "1 A2  2 B♭2  4 B2",
		"bass-c-extension":  "1 A2  2 B♭2  4 B2",
		"cello":             "1 B3  2 C4  3 C♯4  4 D4  (1 B♭3)  (2 C♯4)  (3 D4)  (4 E♭4)",
		"viola":             "1 B4  1 B♭4  2 C5  2 C♯5  3 D5  3 E♭5  4 E5  (4 F5)",
		"violin":            "1 F♯5  1 F5  2 G5  2 A♭5  3 A5  3 B♭5  4 B5  (4 C6)",
	} {
		in, err := ByWord(word)
		require.NoError(t, err)
		assert.Equal(t, notes, under(t, in, "1", in.Strings[0].Name), word)
	}
}

func TestLowNotesOfTheBigBasses(t *testing.T) {
	p := FiveStringBass().Finger(tune(t, "B0 C1 D1 Eb1 E1"), Options{})
	assert.Empty(t, p.Outside)
	assert.Equal(t, 5, p.Notes[0].String)
	assert.True(t, p.Notes[0].Open && p.Notes[4].Open)

	p = ExtendedBass().Finger(tune(t, "E1 C1 D1 F1"), Options{})
	assert.Empty(t, p.Outside)
	assert.Equal(t, -4, p.Notes[1].Semitones)
	assert.Equal(t, -1, p.Notes[1].Frame, "no finger on the neck stops a note of the extension")

	p = SoloBass().Finger(tune(t, "A1 B1 C#2 D2 E2 F#2 G#2 A2"), Options{})
	q := DoubleBass().Finger(tune(t, "G1 A1 B1 C2 D2 E2 F#2 G2"), Options{})
	assert.Equal(t, fingers(q), fingers(p), "what is printed in G is fingered in G and sounds in A")
}

func TestScalesOnTheOtherInstruments(t *testing.T) {
	// Common practice (from memory).
	for _, one := range []struct{ word, notes, fingers string }{
		{"cello", "C2 D2 E2 F2 G2 A2 B2 C3", "0 1:1 3 4 0 1 3 4"},
		{"cello", "D3 E3 F#3 G3 A3 B3 C#4 D4", "0 1:1 3 4 0 1 3 4"},
		{"violin", "G3 A3 B3 C4 D4 E4 F#4 G4", "0 1:1 2 3 0 1 2 3"},
		{"violin", "A4 B4 C#5 D5 E5 F#5 G#5 A5", "0 1:1 2 3 0 1 2 3"},
		{"viola", "C3 D3 E3 F3 G3 A3 B3 C4", "0 1:1 2 3 0 1 2 3"},
		{"bass-four-fingers", "G1 A1 B1 C2 D2 E2 F#2 G2", "1:2 0 1 2 0 1 3 0"},
	} {
		in, err := ByWord(one.word)
		require.NoError(t, err)
		assert.Equal(t, one.fingers, fingers(in.Finger(tune(t, one.notes), Options{})), one.word)
	}
}

// Every string's every semitone up to the end of the fingerboard lies under
// some finger, and the chart shows all positions.
func TestNoNoteIsForgotten(t *testing.T) {
	for _, n := range Instruments() {
		low, high := n.Range()
		for midi := low; midi <= high; midi++ {
			assert.NotEmpty(t, n.stops(midi), "%s: %s", n.Word, words.Pitch(midi))
		}
		for _, token := range n.System.Tokens() {
			assert.Contains(t, n.Chart(), "\n"+token+" ", n.Word)
		}
	}
}

// under reads a cell of the printed chart.
func under(t *testing.T, in Instrument, position, str string) string {
	t.Helper()
	for i, line := range strings.Split(in.Chart(), "\n") {
		if i < 2 || !strings.HasPrefix(line, position+" ") {
			continue
		}
		header := []rune(strings.Split(in.Chart(), "\n")[1])
		at := strings.Index(string(header), "  "+str+" = ")
		require.Positive(t, at)
		at = len([]rune(string(header)[:at])) + 2
		cells := []rune(line)[at:]
		cell, _, _ := strings.Cut(string(cells), "   ")
		return strings.TrimSpace(cell)
	}
	t.Fatalf("the chart of the %s has no position %s", in.Name, position)
	return ""
}
