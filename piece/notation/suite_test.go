package notation_test

import (
	"encoding/xml"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece"
	"endpin/piece/notation"
	"endpin/piece/scoretest"
)

// suite is the folder of the MusicXML unit tests; without it the test is skipped.
func suite(t *testing.T) string {
	t.Helper()
	dir := scoretest.Suite(t)
	if _, err := os.Stat(dir); err != nil {
		t.Skip("the MusicXML unit tests are not here: set ENDPIN_MUSICXML_SUITE to their folder")
	}
	return dir
}

func suiteFile(t *testing.T, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(suite(t), name))
	require.NoError(t, err)
	return data
}

func suitePiece(t *testing.T, name string) *piece.Piece {
	t.Helper()
	p, err := notation.Read(name, suiteFile(t, name))
	require.NoError(t, err)
	return p
}

// plain is the little of a MusicXML file that a second, simpler reader needs.
type plain struct {
	Parts []struct {
		Measures []struct {
			Number string `xml:"number,attr"`
			Notes  []struct {
				Step   string    `xml:"pitch>step"`
				Alter  float64   `xml:"pitch>alter"`
				Octave int       `xml:"pitch>octave"`
				Grace  *struct{} `xml:"grace"`
				Chord  *struct{} `xml:"chord"`
				Cue    *struct{} `xml:"cue"`
				Voice  string    `xml:"voice"`
				Staff  string    `xml:"staff"`
			} `xml:"note"`
		} `xml:"measure"`
	} `xml:"part"`
}

func (p plain) single() bool {
	if len(p.Parts) != 1 {
		return false
	}
	for _, m := range p.Parts[0].Measures {
		for _, n := range m.Notes {
			if n.Voice != "1" && n.Voice != "" || n.Staff == "2" || n.Chord != nil {
				return false
			}
		}
	}
	return true
}

func TestEveryFileOfTheUnitTestsIsRead(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(suite(t), "*.xml"))
	require.NoError(t, err)
	require.Greater(t, len(files), 100)
	pieces, single := 0, 0
	for _, f := range files {
		name := filepath.Base(f)
		data := suiteFile(t, name)
		p, err := notation.Read(name, data)
		var raw plain
		require.NoError(t, xml.Unmarshal(data, &raw), name)
		if err != nil {
			assert.ErrorIs(t, err, notation.ErrNoNotes, name)
			assert.NotContains(t, err.Error(), "\n")
			for _, part := range raw.Parts {
				for _, m := range part.Measures {
					for _, n := range m.Notes {
						assert.Empty(t, n.Step, "%s has notes in measure %s", name, m.Number)
					}
				}
			}
			continue
		}
		pieces++
		line, played := p.Line()
		require.NotEmpty(t, line, name)
		require.NotEmpty(t, played, name)
		for _, n := range line {
			assert.Positive(t, n.Length, "%s measure %s", name, n.Number)
			assert.GreaterOrEqual(t, n.Beat, 1.0, "%s measure %s", name, n.Number)
		}
		for i := 1; i < len(line); i++ {
			assert.GreaterOrEqual(t, line[i].Onset, line[i-1].Onset+line[i-1].Length, "%s measure %s", name, line[i].Number)
		}
		if !raw.single() {
			continue
		}
		single++
		// The formula of the pitch, read a second time by the shortest way.
		require.Len(t, p.Measures, len(raw.Parts[0].Measures), name)
		for i, m := range raw.Parts[0].Measures {
			assert.Equal(t, m.Number, p.Measures[i].Number, name)
			var want, got []int
			for _, n := range m.Notes {
				if n.Step != "" && n.Grace == nil && n.Cue == nil && n.Alter == float64(int(n.Alter)) {
					step := map[string]int{"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}[n.Step]
					want = append(want, 12*(n.Octave+1)+step+int(n.Alter))
				}
			}
			for _, n := range p.Measures[i].Notes {
				if !n.Rest && !n.Grace {
					got = append(got, n.MIDI-p.Transposed)
				}
			}
			if len(want) == len(got) {
				assert.Equal(t, want, got, "%s measure %s", name, m.Number)
			} else { // quarter tones, which the short way leaves out
				assert.Contains(t, name, "Micro")
			}
		}
	}
	assert.Greater(t, pieces, 85)
	assert.Greater(t, single, 30)
}

// The order follows from what each file says of itself.
func TestRepeatsOfTheUnitTestsAreUnfolded(t *testing.T) {
	for name, want := range map[string]string{
		"45a-SimpleRepeat.xml":                         "1 1 1 1 1 2",
		"45c-SimpleRepeat-Nested.xml":                  "1 2 3 2 3 2 3 2 3 2 3 4 5 6 7 8",
		"45d-Repeats-MultipleEndings.xml":              "1 2 1 3 4 5 1 6 7 8 9 1 10 1 6 7 8 9 1 10 1 6 7 8 9 1 11 12",
		"45h-Repeats-Partial.xml":                      "0 1 2 0 1 2 X1 3",
		"45j-SimpleRepeat-Start.xml":                   "1 1 2",
		"45k-Repeats-Chords-FiguredBass.xml":           "1 2 1 3 4",
		"46c-Midmeasure-Clef.xml":                      "1 2 X1 3",
		"46g-PickupMeasure-Chordnames-FiguredBass.xml": "0 1",
	} {
		measures, err := notation.Printed(suiteFile(t, name))
		require.NoError(t, err, name)
		p := &piece.Piece{Measures: measures}
		played, err := p.Unfold()
		require.NoError(t, err, name)
		var numbers []string
		for _, m := range played {
			numbers = append(numbers, measures[m.Measure].Number)
		}
		assert.Equal(t, want, strings.Join(numbers, " "), name)
	}
}

// lengths gives the notes and rests of a measure in quarter notes.
func lengths(m piece.Measure) (all []float64) {
	for _, n := range m.Notes {
		all = append(all, n.Length.Quarters())
	}
	return all
}

func TestDurationsOfTheUnitTestsAreExact(t *testing.T) {
	p := suitePiece(t, "03a-Rhythm-Durations.xml")
	plain := []float64{16, 8, 4, 2, 1, 1. / 2, 1. / 4, 1. / 8, 1. / 16, 1. / 32}
	for dots, m := range []int{1, 3, 5} { // "plain, then dotted, and finally double-dotted"
		var want []float64
		for _, l := range plain {
			want = append(want, l*[]float64{1, 1.5, 1.75}[dots])
		}
		if dots == 0 { // a double-dotted 64th is finer than a tick
			assert.Equal(t, want, lengths(p.Measures[m])[:10])
		} else {
			assert.Equal(t, want[:8], lengths(p.Measures[m])[:8])
		}
		assert.Equal(t, []float64{32, 48, 56}[dots], lengths(p.Measures[m-1])[0])
		assert.Equal(t, []float64{32, 48, 56}[dots], p.Measures[m].Length.Quarters(), "nothing is lost in rounding")
	}
	assert.Equal(t, 4.0, suitePiece(t, "03e-Rhythm-No-Divisions.xml").Measures[0].Notes[0].Length.Quarters())

	tuplets := suitePiece(t, "23a-Tuplets.xml").Measures[0].Notes
	var ratios [][2]int
	for i, n := range tuplets {
		if i == 0 || n.Tuplet != tuplets[i-1].Tuplet {
			ratios = append(ratios, [2]int{n.Tuplet.Actual, n.Tuplet.Normal})
		}
	}
	assert.Equal(t, [][2]int{{3, 2}, {4, 2}, {4, 1}, {7, 3}, {6, 2}}, ratios)
	assert.Equal(t, piece.Quarter*2/3, tuplets[0].Length)
	assert.Equal(t, piece.Quarter*3/7, tuplets[17].Length)

	forward := suitePiece(t, "03f-Rhythm-Forward.xml").Measures[0]
	assert.Equal(t, piece.Quarter, forward.Notes[0].Start)
	assert.Equal(t, 3*piece.Quarter, forward.Notes[1].Start)
	assert.Equal(t, 4*piece.Quarter, forward.Length)
}

func TestTimeSignaturesOfTheUnitTests(t *testing.T) {
	var times [][2]int
	for _, m := range suitePiece(t, "11a-TimeSignatures.xml").Measures {
		times = append(times, [2]int{m.Time.Beats, m.Time.Unit})
	}
	assert.Equal(t, [][2]int{{2, 2}, {4, 4}, {2, 2}, {3, 2}, {2, 4}, {3, 4}, {4, 4}, {5, 4}, {3, 8}, {6, 8}, {12, 8}}, times)
	assert.Equal(t, piece.Time{Beats: 11, Unit: 8}, suitePiece(t, "11d-TimeSignatures-ComplexMultiple.xml").Measures[0].Time) // 3/8+2/8+3/4
	assert.Equal(t, piece.Time{}, suitePiece(t, "11h-TimeSignatures-SenzaMisura.xml").Measures[0].Time)
}

func TestKeysAndClefsOfTheUnitTests(t *testing.T) {
	keys := suitePiece(t, "13a-KeySignatures.xml").Measures
	assert.Equal(t, piece.Key{Fifths: -11}, keys[0].Key)
	assert.Equal(t, piece.Key{Fifths: -11, Minor: true}, keys[1].Key)
	assert.Equal(t, piece.Key{Fifths: 11, Minor: true}, keys[45].Key)

	clefs := suitePiece(t, "12a-Clefs.xml").Measures
	assert.Equal(t, piece.Clef{Sign: "F", Line: 4}, clefs[3].Clef)
	assert.Equal(t, piece.Clef{Sign: "F", Line: 4, Octave: -1}, clefs[6].Clef)
	for _, m := range clefs { // "the displayed note is always C4"
		assert.Equal(t, 60-12, m.Notes[0].MIDI, m.Number)
		assert.Equal(t, 4-m.Clef.Octave, m.Notes[0].Octave, m.Number)
	}
}

func TestTheContrabassOfAFullScoreIsChosen(t *testing.T) {
	p := suitePiece(t, "41c-StaffGroups.xml")
	assert.Equal(t, "Contrabass", p.Part)
	assert.Equal(t, -12, p.Transposed)
	assert.Equal(t, "The file's transposition: sounding an octave lower.", p.TransposedBy)

	p, err := notation.Read("score", suiteFile(t, "41a-MultiParts-Partorder.xml"), notation.Part("3"))
	require.NoError(t, err)
	assert.Equal(t, "Part 3", p.Part)
	_, err = notation.Read("score", suiteFile(t, "41a-MultiParts-Partorder.xml"), notation.Part("Tuba"))
	assert.EqualError(t, err, `score: no part "Tuba" in it: choose one of 1 Part 1, 2 Part 2, 3 Part 3, 4 Part 4`)
}

func TestPickupsAndShortMeasuresOfTheUnitTests(t *testing.T) {
	pickup := suitePiece(t, "46g-PickupMeasure-Chordnames-FiguredBass.xml").Measures[0]
	assert.True(t, pickup.Implicit)
	assert.Equal(t, piece.Quarter, pickup.Length)
	var held []float64
	for _, m := range suitePiece(t, "46f-IncompleteMeasures.xml").Measures {
		held = append(held, m.Length.Quarters())
	}
	assert.Equal(t, []float64{2, 4, 2, 4}, held)
	assert.Equal(t, 4*piece.Quarter, suitePiece(t, "46j-EmptyMeasure.xml").Measures[0].Length)
}

func TestTiesAndSlursOfTheUnitTests(t *testing.T) {
	line, _ := suitePiece(t, "33k-Tie-Types.xml").Line()
	assert.Equal(t, "2", line[4].Number, "a tie from A sharp to B flat joins them over the bar line, so the next note is E")
	assert.Equal(t, "1", line[3].Number)
	assert.Equal(t, 2*piece.Quarter, line[3].Length)

	line, _ = suitePiece(t, "33c-Spanners-Slurs.xml").Line()
	var slurred []bool
	for _, n := range line {
		slurred = append(slurred, n.Slurred)
	}
	// Four notes under two slurs end to end; four under one long slur; the
	// last measure's slur ends in another voice and is dropped.
	assert.Equal(t, []bool{false, true, true, true, false, true, true, true, false, false}, slurred)

	line, _ = suitePiece(t, "24f-GraceNote-Slur.xml").Line()
	assert.True(t, line[1].Grace, "the grace note leads into the second note")
	assert.False(t, line[1].Slurred, "the slur from the grace note is that note's own bow")
}

func TestFermatasOverBarLinesHoldTheNoteBefore(t *testing.T) {
	line, _ := suitePiece(t, "46h-Barline-Fermata.xml").Line()
	assert.True(t, line[0].Articulation.Fermata)
	assert.True(t, line[1].Articulation.Fermata)
	assert.False(t, line[2].Articulation.Fermata)
}

func TestWhatIsNotPlayedIsNamed(t *testing.T) {
	for name, want := range map[string][]string{
		"21a-Chord-Basic.xml":        {"Chords in measure 1 are played as their lowest note."},
		"21b-Chords-TwoNotes.xml":    {"Chords in measures 1-2 are played as their lowest note."},
		"03b-Rhythm-Backup.xml":      {"A second voice in measure 1 is not played."},
		"43a-PianoStaff.xml":         {"A second staff in measure 1 is not played."},
		"01d-Pitches-Microtones.xml": {"Notes between the semitones in measures 1 and 2 are taken as the nearest semitone."},
	} {
		assert.Equal(t, want, suitePiece(t, name).NotPlayed, name)
	}
}
