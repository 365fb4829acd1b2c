package writing_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"endpin/piece"
	"endpin/piece/writing"
)

const q = piece.Quarter

// set writes notes, each a beginning and a length in quarter notes, and says the signs of
// each measure: "quarter. eighth|half~" for a dotted quarter, an eighth, a half tied on.
func set(t piece.Time, notes ...[2]float64) string {
	var line []writing.Note
	for _, n := range notes {
		line = append(line, writing.Note{Start: piece.Ticks(n[0]*float64(q) + 0.5), Length: piece.Ticks(n[1]*float64(q) + 0.5), MIDI: 43, Spelling: piece.Spelling{Step: "G", Octave: 3}})
	}
	p := writing.Page(line, writing.Frame{Time: t})
	var measures []string
	for _, m := range p.Measures {
		var signs []string
		for _, n := range m.Notes {
			s := n.Value + strings.Repeat(".", n.Dots)
			if n.Tuplet.Actual > 0 {
				s += fmt.Sprint("/", n.Tuplet.Actual)
			}
			if n.Rest {
				s = "r:" + s
			}
			if n.TieToNext {
				s += "~"
			}
			signs = append(signs, s)
		}
		measures = append(measures, strings.Join(signs, " "))
	}
	return strings.Join(measures, "|")
}

// As music is printed (common practice, no source).
func TestLengthsAreWrittenSoThatTheBeatIsSeen(t *testing.T) {
	four, three, six := piece.Time{Beats: 4, Unit: 4}, piece.Time{Beats: 3, Unit: 4}, piece.Time{Beats: 6, Unit: 8}
	for want, got := range map[string]string{
		"quarter quarter half":                    set(four, [2]float64{0, 1}, [2]float64{1, 1}, [2]float64{2, 2}),
		"quarter. eighth half":                    set(four, [2]float64{0, 1.5}, [2]float64{1.5, .5}, [2]float64{2, 2}),
		"eighth quarter eighth half":              set(four, [2]float64{0, .5}, [2]float64{.5, 1}, [2]float64{1.5, .5}, [2]float64{2, 2}),
		"half. quarter~|half r:half":              set(four, [2]float64{0, 3}, [2]float64{3, 3}),
		"half r:quarter":                          set(three, [2]float64{0, 2}),
		"quarter eighth quarter.":                 set(six, [2]float64{0, 1}, [2]float64{1, .5}, [2]float64{1.5, 1.5}),
		"half.":                                   set(six, [2]float64{0, 3}),
		"eighth/3 eighth/3 eighth/3 quarter half": set(four, [2]float64{0, 1. / 3}, [2]float64{1. / 3, 1. / 3}, [2]float64{2. / 3, 1. / 3}, [2]float64{1, 1}, [2]float64{2, 2}),
		"quarter/3 eighth/3 half.":                set(four, [2]float64{0, 2. / 3}, [2]float64{2. / 3, 1. / 3}, [2]float64{1, 3}),
		"quarter|whole":                           set(four, [2]float64{3, 1}, [2]float64{4, 4}),
		"eighth. 16th half.":                      set(four, [2]float64{0, .75}, [2]float64{.75, .25}, [2]float64{1, 3}),
		"half r:half":                             set(four, [2]float64{0, 2}),
		"quarter r:quarter r:half":                set(four, [2]float64{0, 1}),
	} {
		assert.Equal(t, want, got)
	}
}

func TestAnAccidentalIsPrintedOnceAMeasureAndTakenBack(t *testing.T) {
	var line []writing.Note
	for i, alter := range []int{1, 1, 0, 0, 1} {
		line = append(line, writing.Note{Start: piece.Ticks(i) * q, Length: q, MIDI: 41 + alter, Spelling: piece.Spelling{Step: "F", Alter: alter, Octave: 3}})
	}
	p := writing.Page(line, writing.Frame{Time: piece.Time{Beats: 4, Unit: 4}, Key: piece.Key{Fifths: 0}})
	var printed []string
	for _, m := range p.Measures {
		for _, n := range m.Notes {
			if !n.Rest {
				printed = append(printed, n.Accidental)
			}
		}
	}
	assert.Equal(t, []string{"sharp", "", "natural", "", "sharp"}, printed)
}

func TestShortNotesOfABeatAreJoined(t *testing.T) {
	var line []writing.Note
	for i := range 6 {
		line = append(line, writing.Note{Start: piece.Ticks(i) * q / 2, Length: q / 2, MIDI: 43, Spelling: piece.Spelling{Step: "G", Octave: 3}})
	}
	beams := func(t piece.Time) (all []string) {
		for _, n := range writing.Page(line, writing.Frame{Time: t}).Measures[0].Notes {
			all = append(all, n.Beam)
		}
		return all
	}
	assert.Equal(t, []string{"begin", "end", "begin", "end", "begin", "end"}, beams(piece.Time{Beats: 3, Unit: 4}))
	assert.Equal(t, []string{"begin", "continue", "end", "begin", "continue", "end"}, beams(piece.Time{Beats: 6, Unit: 8}))
}
