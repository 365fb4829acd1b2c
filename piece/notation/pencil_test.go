package notation_test

import (
	"bytes"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece"
	"endpin/piece/export"
	"endpin/piece/notation"
	"endpin/piece/scoretest"
)

// inXML are the files of music in MusicXML that can be read and pencilled in: ours and
// those of the unit tests.
func inXML(t *testing.T) map[string][]byte {
	t.Helper()
	all := map[string][]byte{}
	for name, data := range scoretest.Files(t, "testdata/pieces/*.musicxml", "assets/*.musicxml", scoretest.Suite(t)+"/*.xml") {
		if _, err := notation.Read(name, data); err == nil {
			all[name] = data
		}
	}
	require.GreaterOrEqual(t, len(all), 8)
	return all
}

// inMusicXML is a piece as a file.
func inMusicXML(t *testing.T, p *piece.Piece) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, export.MusicXML(&b, p, export.Options{}))
	return b.Bytes()
}

// unmarked are notes of a piece that bear no mark: the first, one in the middle, the last.
func unmarked(p *piece.Piece) (chosen []piece.At) {
	var all []piece.At
	for i := range p.Measures {
		for k := range p.Measures[i].Notes {
			if n := &p.Measures[i].Notes[k]; !n.Rest && n.Marks == (piece.Marks{}) {
				all = append(all, piece.At{Measure: i, Note: k})
			}
		}
	}
	if len(all) == 0 {
		return nil
	}
	return []piece.At{all[0], all[len(all)/2], all[len(all)-1]}
}

var bowed = piece.Marks{Finger: "4", String: 2, Position: "3", Bow: piece.Up}

func TestAMarkIsReadAgainAndTakenAwayLeavesTheFileAsItWas(t *testing.T) {
	files, notes := inXML(t), 0
	for name, data := range files {
		p, err := notation.Read(name, data)
		require.NoError(t, err)
		for _, at := range unmarked(p) {
			notes++
			for _, m := range []piece.Marks{{Finger: "1"}, {String: 3}, {Position: "2-3"}, {Bow: piece.Down}, bowed} {
				marked, err := notation.PencilNote(name, data, at, m)
				require.NoError(t, err, name)
				again, err := notation.Read(name, marked)
				require.NoError(t, err, name)
				want, err := notation.Read(name, data)
				require.NoError(t, err)
				want.Measures[at.Measure].Notes[at.Note].Marks = m
				require.Equal(t, want, again, "%s %+v: the same piece and the mark", name, at)
				other := m
				other.Finger, other.Bow = "2", piece.Down
				changed, err := notation.PencilNote(name, marked, at, other)
				require.NoError(t, err)
				for _, from := range [][]byte{marked, changed} {
					back, err := notation.PencilNote(name, from, at, piece.Marks{})
					require.NoError(t, err)
					require.True(t, bytes.Equal(data, back), "%s %+v %+v: %s", name, at, m, difference(data, back))
				}
			}
		}
	}
	t.Logf("%d notes in %d files", notes, len(files))
}

// difference is where two files part.
func difference(a, b []byte) string {
	i := 0
	for i < len(a) && i < len(b) && a[i] == b[i] {
		i++
	}
	cut := func(x []byte) string { return string(x[max(0, i-40):min(len(x), i+60)]) }
	return cut(a) + "\n— and —\n" + cut(b)
}

func TestSignsOverAMeasureAreReadAgainAndTakenAwayLeaveTheFileAsItWas(t *testing.T) {
	files, measures := inXML(t), 0
	for name, data := range files {
		p, err := notation.Read(name, data)
		require.NoError(t, err)
		for _, i := range []int{0, len(p.Measures) / 2, len(p.Measures) - 1} {
			is := notation.SignsOf(&p.Measures[i])
			all := []notation.Signs{is, is, is, is}
			all[0].Rehearsal = "A & B"
			all[1].Text = "Sing it <first>"
			all[2].Rehearsal, all[2].Text = "C", "poco rit."
			if is == (notation.Signs{}) && len(p.Measures[i].Endings) == 0 {
				all = append(all, notation.Signs{Rehearsal: "B", RepeatStart: true, RepeatEnd: true, Text: "once soft, once loud"})
			}
			for _, s := range all {
				measures++
				signed, err := notation.PencilMeasure(name, data, i, s)
				require.NoError(t, err, name)
				again, err := notation.Read(name, signed)
				require.NoError(t, err, name)
				assert.Equal(t, s, notation.SignsOf(&again.Measures[i]), "%s %d", name, i)
				for k := range p.Measures {
					assert.Equal(t, p.Measures[k].Notes, again.Measures[k].Notes, name)
				}
				back, err := notation.PencilMeasure(name, signed, i, is)
				require.NoError(t, err)
				if is.Text == "" || s.Text == is.Text { // else the file's own words, in as many as they were, come back by Undo alone
					require.True(t, bytes.Equal(data, back), "%s %d %+v: %s", name, i, s, difference(data, back))
				}
				none, err := notation.PencilMeasure(name, signed, i, notation.Signs{RepeatStart: is.RepeatStart, RepeatEnd: is.RepeatEnd})
				require.NoError(t, err)
				again, err = notation.Read(name, none)
				require.NoError(t, err, "%s %d", name, i)
				assert.Empty(t, again.Measures[i].Rehearsal, name)
				for k := range p.Measures {
					assert.Equal(t, p.Measures[k].Notes, again.Measures[k].Notes, name)
					assert.Equal(t, p.Measures[k].Tempos, again.Measures[k].Tempos, name)
				}
			}
		}
	}
	t.Logf("%d times in %d files", measures, len(files))
}

// What is valid by the W3C's schema is so with marks in it.
func TestAMarkedFileIsValidWhereItWas(t *testing.T) {
	schema := scoretest.NewSchema(t)
	files := inXML(t)
	for name := range schema.Invalid(t, files) {
		delete(files, name)
	}
	held := 0
	for name, data := range files {
		p, err := notation.Read(name, data)
		require.NoError(t, err)
		for _, at := range unmarked(p) {
			held++
			data, err = notation.PencilNote(name, data, at, bowed)
			require.NoError(t, err)
			data, err = notation.PencilMeasure(name, data, at.Measure, notation.Signs{Rehearsal: "A", RepeatStart: true, RepeatEnd: true, Text: "Sing it"})
			require.NoError(t, err)
		}
		files[name] = data
	}
	assert.Empty(t, schema.Invalid(t, files))
	require.Greater(t, held, 10)
	t.Logf("%d notes and measures", held)
}

func TestWhatStandsInTheFileAlreadyIsChangedWhereItStands(t *testing.T) {
	const note = `<note><pitch><step>D</step><octave>3</octave></pitch><duration>1</duration><type>quarter</type><!-- kept --><notations>
 <technical>
  <fingering placement="below">1</fingering><up-bow/>
 </technical></notations><lyric><text>la</text></lyric></note>`
	file := []byte(strings.Replace(good, "<note>", note+"<note>", 1))
	require.NotEqual(t, good, string(file))
	changed, err := notation.PencilNote("x", file, piece.At{}, piece.Marks{Finger: "4", String: 3, Bow: piece.Up})
	require.NoError(t, err)
	assert.Contains(t, string(changed), `<fingering placement="below">4</fingering><up-bow/><string>3</string>
 </technical>`)
	gone, err := notation.PencilNote("x", file, piece.At{}, piece.Marks{})
	require.NoError(t, err)
	assert.Contains(t, string(gone), `<!-- kept --><lyric>`)
}

// What a direction has besides the words that are taken away stays: its sound, where no word
// is left of it, alone in the measure.
func TestWordsThatAreTakenAwayLeaveTheTempoThatStandsWithThem(t *testing.T) {
	file := []byte(strings.Replace(good, "<note>", `<direction><direction-type><words>Lightly</words></direction-type><voice>1</voice><sound tempo="70"/></direction><note>`, 1))
	p, err := notation.Read("x", file)
	require.NoError(t, err)
	assert.Equal(t, "Lightly", notation.SignsOf(&p.Measures[0]).Text)
	gone, err := notation.PencilMeasure("x", file, 0, notation.Signs{})
	require.NoError(t, err)
	assert.Contains(t, string(gone), `<sound tempo="70"/><note>`)
	assert.NotContains(t, string(gone), "direction")
	again, err := notation.Read("x", gone)
	require.NoError(t, err)
	assert.Equal(t, p.Measures[0].Tempos, again.Measures[0].Tempos)
}

// What Endpin writes over the staff itself, and who else does, is changed and taken away by
// the pencil as what stands at the note.
func TestAPositionInWordsOverTheStaffIsChangedAndTakenAway(t *testing.T) {
	p := read(t, "two_places.musicxml")
	p.Measures[0].Notes[0].Marks = piece.Marks{Position: "3"}
	file := inMusicXML(t, p)
	words := func(file []byte) int { return bytes.Count(file, []byte("<words>III</words>")) }
	require.Positive(t, words(file))
	for _, position := range []string{"", "2", "half"} {
		m := piece.Marks{Position: position}
		marked, err := notation.PencilNote("x", file, piece.At{}, m)
		require.NoError(t, err)
		assert.Equal(t, words(file)-1, words(marked))
		again, err := notation.Read("x", marked)
		require.NoError(t, err)
		assert.Equal(t, m, again.Measures[0].Notes[0].Marks)
	}
}

func TestIntoWhatIsNoMusicXMLInUTF8GoesNoMark(t *testing.T) {
	abc, err := os.ReadFile("../../testdata/pieces/lantern_row.abc")
	require.NoError(t, err)
	latin := []byte(strings.Replace(`<?xml version="1.0" encoding="ISO-8859-1"?>`+good[strings.Index(good, "<score"):], "<note>", "<!-- \xe9 --><note>", 1))
	for name, data := range map[string][]byte{"abc": abc, "latin": latin, "empty": nil} {
		_, err := notation.PencilNote(name, data, piece.At{}, bowed)
		assert.ErrorContains(t, err, "MusicXML in UTF-8", name)
	}
	p, err := notation.Read("abc", abc)
	require.NoError(t, err)
	marked, err := notation.PencilNote("abc", inMusicXML(t, p), piece.At{}, bowed)
	require.NoError(t, err)
	again, err := notation.Read("abc", marked)
	require.NoError(t, err)
	p.Measures[0].Notes[0].Marks = bowed
	assert.Equal(t, scoretest.Told(p), scoretest.Told(again))

	plain := bytes.Replace(latin, []byte("\xe9"), []byte("e"), 1)
	_, err = notation.PencilNote("plain", plain, piece.At{}, bowed)
	assert.NoError(t, err, "text without accents is the same in both")
	for _, at := range []piece.At{{Measure: -1}, {Measure: 99}, {Note: 99}} {
		_, err = notation.PencilNote("x", []byte(good), at, bowed)
		assert.ErrorContains(t, err, "no such note")
	}
}

func FuzzPencil(f *testing.F) {
	seeds(f, "*.musicxml")
	f.Add([]byte(good))
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := notation.Read("x", data)
		if err != nil || !notation.Spliceable(data) {
			return
		}
		for _, at := range unmarked(p) {
			marked, err := notation.PencilNote("x", data, at, bowed)
			if err != nil {
				t.Fatal(err)
			}
			again, err := notation.Read("x", marked)
			if err != nil || again.Measures[at.Measure].Notes[at.Note].Marks != bowed {
				t.Fatalf("the mark is not read again: %v", err)
			}
			if back, err := notation.PencilNote("x", marked, at, piece.Marks{}); err != nil || !bytes.Equal(back, data) {
				t.Fatalf("taken away, it leaves something: %v, %s", err, difference(data, back))
			}
		}
	})
}
