package manuscript_test

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece"
	"endpin/piece/export"
	"endpin/piece/manuscript"
	"endpin/piece/notation"
	"endpin/piece/scoretest"
	"endpin/piece/writing"
)

var (
	bass     = writing.Staff{Part: "Double bass", Clef: piece.Clef{Sign: "F", Line: 4}, Transposed: -12}
	strings4 = []string{"G", "D", "A", "E"}
)

func page() *manuscript.Manuscript { return manuscript.New("bass", bass) }

// typed types keys: one each, but for the names of keys in angle brackets. Spaces are for
// the eye.
func typed(t *testing.T, m *manuscript.Manuscript, keys string) (strokes int) {
	t.Helper()
	for _, k := range keysOf(keys) {
		require.True(t, m.Press(k, manuscript.Held{}, strings4), "%s does nothing", k)
		strokes++
	}
	return strokes
}

func keysOf(text string) (all []manuscript.Key) {
	for len(text) > 0 {
		switch {
		case text[0] == ' ' || text[0] == '\n' || text[0] == '\t':
			text = text[1:]
		case text[0] == '<':
			end := strings.IndexByte(text, '>')
			all, text = append(all, manuscript.Key(text[1:end])), text[end+1:]
		default:
			all, text = append(all, manuscript.Key(text[:1])), text[1:]
		}
	}
	return all
}

// read says a page: letter, alteration, octave and value of each note, measures apart.
func read(m *manuscript.Manuscript) string {
	var bars []string
	for _, b := range m.Bars {
		var notes []string
		for _, n := range b.Notes {
			s := "r"
			if !n.Rest {
				s = n.Step + strings.Repeat("#", max(0, n.Alter)) + strings.Repeat("b", max(0, -n.Alter)) + fmt.Sprint(n.Octave)
			}
			s += ":" + map[string]string{"whole": "1", "half": "2", "quarter": "4", "eighth": "8", "16th": "16", "32nd": "32"}[n.Value] + strings.Repeat(".", n.Dots)
			if n.Tuplet.Actual > 0 {
				s += "t"
			}
			if n.TieToNext {
				s += "~"
			}
			notes = append(notes, s)
		}
		bars = append(bars, strings.Join(notes, " "))
	}
	return strings.Join(bars, " | ")
}

func TestALetterPutsTheNoteNearestToTheLast(t *testing.T) {
	for keys, want := range map[string]string{
		"d":       "D3:4", // the middle line
		"c":       "C3:4",
		"g c":     "G3:4 C4:4", // a fourth up is nearer than a fifth down
		"g d":     "G3:4 D3:4",
		"c b":     "C3:4 B2:4",
		"e a o a": "E3:4 A3:4 A4:4", // said of the note that stands there; the last is nearest to it
	} {
		m := page()
		typed(t, m, keys)
		if keys == "e a o a" {
			want = "E3:4 A4:4 A4:4"
		}
		assert.Equal(t, want, read(m), keys)
	}
}

func TestMeasuresCloseByThemselvesAndALongNoteIsTiedOverTheBarLine(t *testing.T) {
	m := page()
	typed(t, m, "c d e 2 f g")
	assert.Equal(t, "C3:4 D3:4 E3:4 F3:4~ | F3:4 G3:2", read(m))
	assert.Equal(t, piece.Quarter, m.Left())
	typed(t, m, "1 a")
	assert.Equal(t, "C3:4 D3:4 E3:4 F3:4~ | F3:4 G3:2 A3:4~ | A3:2.", read(m))
}

func TestAnAccidentalHoldsForItsMeasure(t *testing.T) {
	m := page()
	m.SetKey(piece.Key{Fifths: 1})
	typed(t, m, "f f n f g f")
	assert.Equal(t, "F#3:4 F3:4 F3:4 G3:4 | F#3:4", read(m))
	assert.Equal(t, []string{"", "natural", "", ""}, []string{m.Bars[0].Notes[0].Accidental, m.Bars[0].Notes[1].Accidental, m.Bars[0].Notes[2].Accidental, m.Bars[1].Notes[0].Accidental})
	typed(t, m, "c s s")
	assert.Equal(t, 2, m.Bars[1].Notes[1].Alter, "a sharp on a sharp is a double one")
	assert.Equal(t, 50-12, m.Bars[1].Notes[1].MIDI)
}

func TestAShortNoteComesBehindADottedOneByItself(t *testing.T) {
	m := page()
	typed(t, m, "c . d e 2 g . a")
	assert.Equal(t, "C3:4. D3:8 E3:4 G3:4~ | G3:2 A3:2~ | A3:4", read(m))
	typed(t, m, "<Backspace>")
	assert.Equal(t, "C3:4. D3:8 E3:4 G3:4~ | G3:2 A3:2", strings.Replace(read(m), "A3:2~ | A3:4", "A3:2", 1))
}

func TestInThreeFourADottedHalfFillsTheMeasureAndTheNextIsDottedToo(t *testing.T) {
	m := page()
	m.SetTime(piece.Time{Beats: 3, Unit: 4})
	typed(t, m, "2 g . a 4 b")
	assert.Equal(t, "G3:2. | A3:2. | B3:4", read(m))
}

func TestInSixEightDottedQuartersStayInHand(t *testing.T) {
	m := page()
	m.SetTime(piece.Time{Beats: 6, Unit: 8})
	typed(t, m, "g a 8 g f e 4 d c")
	assert.Equal(t, "G3:4. A3:4. | G3:8 F3:8 E3:8 D3:4 C3:8", read(m))
}

func TestATripletEndsWhenItIsFull(t *testing.T) {
	m := page()
	typed(t, m, "8 3 c d e 4 f 8 3 4 g 8 a")
	assert.Equal(t, "C3:8t D3:8t E3:8t F3:4 G3:4t A3:8t", read(m))
	assert.Zero(t, m.Hand.Triplet)
}

func TestAMeasureThatDoesNotAddUpSaysByHowMuch(t *testing.T) {
	m := page()
	typed(t, m, "c d e f g a b c <Home> 8")
	says, off := m.SayOff(0)
	require.True(t, off)
	assert.Equal(t, "Measure 1 holds an eighth too little.", says.String())
	typed(t, m, "2 .")
	says, _ = m.SayOff(0)
	assert.Equal(t, "Measure 1 holds a half too much.", says.String())
	_, off = m.SayOff(1)
	assert.False(t, off)
	typed(t, m, "<End> c")
	_, off = m.SayOff(2)
	assert.False(t, off, "the last is being written")
	assert.Equal(t, "C3:2. D3:4 E3:4 F3:4 | G3:4 A3:4 B3:4 C4:4 | C4:4", read(m))
}

func TestAChosenNoteIsChanged(t *testing.T) {
	m := page()
	typed(t, m, "c d e f")
	m.Choose(piece.At{Measure: 0, Note: 1}, false)
	typed(t, m, "b")
	assert.Equal(t, "C3:4 B2:4 E3:4 F3:4", read(m), "nearest to what it was")
	typed(t, m, "r 8")
	assert.Equal(t, "C3:4 r:8 E3:4 F3:4", read(m))
	typed(t, m, "a <Right> l <Up>")
	assert.Equal(t, "C3:4 A2:8 Fb3:4 F3:4", read(m))
	typed(t, m, "n <Right> <Right> g")
	assert.Equal(t, "C3:4 A2:8 F3:4 F3:4 G3:8~ | G3:8", read(m), "behind the last note one writes on")
}

func TestUndoAndRedoHaveNoEnd(t *testing.T) {
	m := page()
	var pages []string
	for i := range 300 {
		pages = append(pages, read(m))
		typed(t, m, string("cdefgab"[i%7]))
		if i%10 == 9 {
			pages = append(pages, read(m))
			typed(t, m, "O")
		}
	}
	last := read(m)
	for i := len(pages) - 1; i >= 0; i-- {
		require.True(t, m.Undo())
		require.Equal(t, pages[i], read(m))
	}
	assert.False(t, m.Undo())
	for m.Redo() {
	}
	assert.Equal(t, last, read(m))
	m.Choose(piece.At{}, false)
	m.Length("half")
	assert.True(t, m.Undo())
	assert.Equal(t, last, read(m), "to choose is nothing to undo")
}

func TestWhatWasUndoneGoesWithTheNextChange(t *testing.T) {
	m := page()
	typed(t, m, "c d")
	m.Undo()
	typed(t, m, "e")
	assert.False(t, m.Redo())
	assert.Equal(t, "C3:4 E3:4", read(m))
}

func TestNotesAreCopiedCutAndWholeMeasuresRepeated(t *testing.T) {
	m := page()
	typed(t, m, "c d e f g")
	m.Choose(piece.At{}, false)
	m.Choose(piece.At{Note: 3}, true)
	require.True(t, m.Copy())
	m.End()
	require.True(t, m.Paste())
	assert.Equal(t, "C3:4 D3:4 E3:4 F3:4 | G3:4 C3:4 D3:4 E3:4 | F3:4", read(m), "in the midst of a measure its notes")
	m.Undo()
	typed(t, m, "g a b")
	require.True(t, m.Paste())
	assert.Equal(t, "C3:4 D3:4 E3:4 F3:4 | G3:4 G3:4 A3:4 B3:4 | C3:4 D3:4 E3:4 F3:4", read(m))
	assert.Equal(t, []string{"1", "2", "3"}, []string{m.Bars[0].Number, m.Bars[1].Number, m.Bars[2].Number})
	m.Choose(piece.At{Measure: 1}, false)
	m.Choose(piece.At{Measure: 1, Note: 3}, true)
	m.Cut()
	assert.Equal(t, "C3:4 D3:4 E3:4 F3:4 | C3:4 D3:4 E3:4 F3:4", read(m), "a whole measure goes whole")
	assert.Equal(t, "2", m.Bars[1].Number)
}

func TestBackspaceTakesTheLastNoteAndItsMeasure(t *testing.T) {
	m := page()
	typed(t, m, "c d e f g <Backspace>")
	assert.Equal(t, "C3:4 D3:4 E3:4 F3:4", read(m))
	typed(t, m, "<Backspace> a")
	assert.Equal(t, "C3:4 D3:4 E3:4 A3:4", read(m))
	typed(t, m, "<Backspace> <Backspace> <Backspace> <Backspace> <Backspace> d")
	assert.Equal(t, "D3:4", read(m))
}

func TestNotesMoveByStepsOfTheKeyByOctavesAndBySemitones(t *testing.T) {
	m := page()
	m.SetKey(piece.Key{Fifths: -1})
	typed(t, m, "a <Up> <PageUp>")
	assert.Equal(t, "Bb3:4", read(m))
	typed(t, m, "<PageDown>")
	assert.Equal(t, "Bb2:4", read(m))
	typed(t, m, "+ +")
	assert.Equal(t, "C3:4", read(m))
	typed(t, m, "-")
	assert.Equal(t, "B2:4", read(m))
	typed(t, m, "-")
	assert.Equal(t, "Bb2:4", read(m))
}

func TestAPageGoesIntoAnotherKey(t *testing.T) {
	m := page()
	typed(t, m, "c e g b l")
	require.True(t, m.Transpose(2)) // C to D major
	assert.Equal(t, "D3:4 F#3:4 A3:4 C4:4", read(m))
	assert.Equal(t, 2, m.Bars[0].Key.Fifths)
	require.True(t, m.Transpose(-2))
	assert.Equal(t, "C3:4 E3:4 G3:4 Bb3:4", read(m))
	require.True(t, m.Transpose(1)) // G major: a fifth up is a fourth down
	assert.Equal(t, "G2:4 B2:4 D3:4 F3:4", read(m))
	assert.False(t, m.Transpose(7))
}

func TestAKeySetLaterKeepsThePageAsItLooks(t *testing.T) {
	m := page()
	typed(t, m, "f c f s f g")
	m.SetKey(piece.Key{Fifths: 2})
	assert.Equal(t, "F#3:4 C#3:4 F#3:4 F#3:4 | G3:4", read(m))
	assert.Equal(t, 54-12, m.Bars[0].Notes[0].MIDI)
	m.SetKey(piece.Key{})
	assert.Equal(t, "F3:4 C3:4 F3:4 F3:4 | G3:4", read(m))
}

func TestAMetreSetLaterDividesThePageAnew(t *testing.T) {
	m := page()
	typed(t, m, "c d e f 2 g a")
	m.SetTime(piece.Time{Beats: 3, Unit: 4})
	assert.Equal(t, "C3:4 D3:4 E3:4 | F3:4 G3:2 | A3:2", read(m))
	for i := range m.Bars {
		assert.Zero(t, m.Off(i))
	}
	typed(t, m, "b")
	assert.Equal(t, "C3:4 D3:4 E3:4 | F3:4 G3:2 | A3:2 B3:4~ | B3:4", read(m))
	m.Undo()
	m.Undo()
	assert.Equal(t, "C3:4 D3:4 E3:4 F3:4 | G3:2 A3:2", read(m))
}

func TestAPickupIsShorterAndMeasureOneComesBehindIt(t *testing.T) {
	m := page()
	m.SetPickup(piece.Quarter)
	typed(t, m, "g c d e f")
	assert.Equal(t, "G3:4 | C4:4 D4:4 E4:4 F4:4", read(m))
	p := m.Piece()
	assert.Equal(t, []string{"0", "1"}, []string{p.Measures[0].Number, p.Measures[1].Number})
	assert.True(t, p.Measures[0].Implicit)
	line, _ := p.Line()
	assert.Equal(t, piece.Quarter, line[1].Onset-line[0].Onset)
	m.SetPickup(0)
	says, off := m.SayOff(0)
	require.True(t, off)
	assert.Equal(t, "Measure 1 holds 1 half and 1 quarter too little.", strings.NewReplacer("a half", "1 half", "a quarter", "1 quarter").Replace(says.String()))
}

// As it is said, "a dotted half": a dot behind a length is the next note's, behind a note its own.
func TestADotBehindALengthIsTheNextNotes(t *testing.T) {
	m := page()
	typed(t, m, "d 2.e 4.f 8g 2a")
	for i, want := range []piece.Ticks{piece.Quarter, 3 * piece.Quarter} {
		assert.Equal(t, want, m.Bars[0].Notes[i].Length)
	}
	for i, want := range []piece.Ticks{3 * piece.Quarter / 2, piece.Quarter / 2, 2 * piece.Quarter} {
		assert.Equal(t, want, m.Bars[1].Notes[i].Length)
	}
	m = page()
	typed(t, m, "4d.e")
	assert.Equal(t, []piece.Ticks{3 * piece.Quarter / 2, piece.Quarter / 2}, []piece.Ticks{m.Bars[0].Notes[0].Length, m.Bars[0].Notes[1].Length})
}

func TestAPickupThatNothingWasWrittenInGoesAsItCame(t *testing.T) {
	m := page()
	m.SetTempo(90)
	typed(t, m, "cdef gabc")
	was := m.Piece()
	m.SetPickup(piece.Quarter)
	assert.Equal(t, "0", m.Piece().Measures[0].Number)
	m.SetPickup(2 * piece.Quarter)
	m.SetPickup(0)
	assert.Equal(t, was, m.Piece())
}

// A letter goes to the nearest octave that the instrument has.
func TestALetterLeadsBelowNoLowestStringByItself(t *testing.T) {
	m := page()
	m.Lowest, m.Highest = 28, 67 // E1 to G4, as they sound
	typed(t, m, "gfedc")
	assert.Equal(t, []string{"G3", "F3", "E3", "D3", "C3"}, pitches(m))
	m = page()
	m.Lowest, m.Highest = 28, 67
	typed(t, m, "agfedc")
	assert.Equal(t, []string{"A2", "G2", "F2", "E2", "D3", "C3"}, pitches(m))
	m.Step(-7)
	assert.Equal(t, "C2", pitches(m)[5], "who asks for it has it")
}

func TestANotePutLaterBeforeThePickupsDayMovesNothing(t *testing.T) {
	m := page()
	typed(t, m, "c d e f")
	m.SetPickup(piece.Quarter)
	assert.Equal(t, " | C3:4 D3:4 E3:4 F3:4", read(m))
	typed(t, m, "g")
	assert.Equal(t, "G3:4 | C3:4 D3:4 E3:4 F3:4", strings.Replace(read(m), "G2", "G3", 1))
}

func TestABowGoesOnUntilItIsEnded(t *testing.T) {
	m := page()
	typed(t, m, "c j d e j f")
	var from, to []bool
	for _, n := range m.Bars[0].Notes {
		from, to = append(from, n.SlurFrom), append(to, n.SlurTo)
	}
	assert.Equal(t, []bool{false, true, true, false}, from)
	assert.Equal(t, []bool{true, true, false, false}, to)
	m.All()
	typed(t, m, "j")
	assert.True(t, m.Bars[0].Notes[3].SlurFrom, "all of what is chosen on one bow")
	typed(t, m, "j")
	assert.False(t, m.Bars[0].Notes[1].SlurFrom, "and apart")
}

func TestASlurGoesOverTheBarLineAndEndsWhereItsNoteIsTakenAway(t *testing.T) {
	m := page()
	typed(t, m, "c d e f j g")
	assert.True(t, m.Bars[1].Notes[0].SlurFrom)
	typed(t, m, "<Backspace>")
	assert.False(t, m.Bars[0].Notes[3].SlurTo)
}

func TestSignsOfNotesAndMeasures(t *testing.T) {
	m := page()
	typed(t, m, "c w d w w p e h f k m")
	n := m.Bars[0].Notes
	assert.Equal(t, []piece.Bow{piece.Down, piece.Up}, []piece.Bow{n[0].Marks.Bow, n[1].Marks.Bow})
	assert.Equal(t, []bool{false, true, true, true}, []bool{n[0].Articulated.Pizz, n[1].Articulated.Pizz, n[2].Articulated.Pizz, n[3].Articulated.Pizz})
	assert.True(t, n[2].Articulated.Fermata && n[3].Articulated.Staccato)
	assert.Equal(t, "A", m.Bars[0].Rehearsal)
	typed(t, m, ": g f e d i c d e f i m")
	assert.True(t, m.Bars[0].RepeatStart)
	assert.Equal(t, []int{1}, m.Bars[1].Endings)
	assert.Equal(t, 2, m.Bars[1].RepeatTimes)
	assert.Equal(t, []int{1}, m.Bars[2].Endings)
	typed(t, m, "i")
	assert.Equal(t, []int{2}, m.Bars[2].Endings)
	assert.Zero(t, m.Bars[2].RepeatTimes)
	assert.Equal(t, "B", m.Bars[2].Rehearsal)
	m.Loud("mf")
	_, played := m.Piece().Line()
	var order []int
	for _, p := range played {
		order = append(order, p.Measure)
	}
	assert.Equal(t, []int{0, 1, 0, 2}, order)
}

func TestARepeatSignGoesBehindTheMeasureThatWasJustFilled(t *testing.T) {
	m := page()
	typed(t, m, "cdefgabc :")
	assert.Equal(t, []any{false, 2}, []any{m.Bars[1].RepeatStart, m.Bars[1].RepeatTimes})
	typed(t, m, "d :")
	assert.Equal(t, []any{true, 0}, []any{m.Bars[2].RepeatStart, m.Bars[2].RepeatTimes}, "and before one that is begun")
	typed(t, m, ": : :")
	assert.Equal(t, []any{false, 0}, []any{m.Bars[2].RepeatStart, m.Bars[2].RepeatTimes})
}

func TestFingersStringsAndPositionsByTheSameDigits(t *testing.T) {
	m := page()
	typed(t, m, "c d r e x <Home>")
	require.True(t, m.Hand.Fingers)
	typed(t, m, "a 4 0 d <Up> <Up> t")
	n := m.Bars[0].Notes
	assert.Equal(t, piece.Marks{Finger: "4", String: 3}, n[0].Marks)
	assert.Equal(t, piece.Marks{Finger: "0"}, n[1].Marks)
	assert.Equal(t, piece.Marks{Finger: "T", String: 2, Position: "1"}, n[3].Marks, "a rest is passed over")
	assert.Equal(t, "C3:4 D3:4 r:4 E3:4", read(m))
}

func TestThePageIsThereAgainAsItWas(t *testing.T) {
	m := page()
	m.SetTitle("Late Bus")
	m.SetPickup(piece.Quarter)
	typed(t, m, "g c d j e . f j 8 3 g a b w")
	data, err := m.Keep()
	require.NoError(t, err)
	again, ok := manuscript.Restore(data)
	require.True(t, ok)
	assert.Equal(t, read(m), read(again))
	assert.Equal(t, m.Piece(), again.Piece())
	for _, bad := range []string{"", "{}", `{"endpin_page":1}`, `{"endpin_page":1,"Bars":[null]}`, `{"endpin_page":1,"Bars":[{"Notes":[{"Step":"H"}]}]}`} {
		_, ok := manuscript.Restore([]byte(bad))
		assert.False(t, ok, bad)
	}
}

// Each piece of the repository, taken up and kept untouched, is the same piece.
func TestAnOpenedPieceStaysAsItWas(t *testing.T) {
	files, err := filepath.Glob("../../testdata/pieces/*.musicxml")
	require.NoError(t, err)
	abc, err := filepath.Glob("../../testdata/pieces/*.abc")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, file := range append(files, abc...) {
		data, err := os.ReadFile(file)
		require.NoError(t, err)
		p, err := notation.Read(file, data)
		require.NoError(t, err)
		m := manuscript.Of(p, "bass")
		for i := range m.Bars {
			assert.Zero(t, m.Off(i), "%s, measure %s", file, m.Bars[i].Number)
		}
		was, _ := p.Line()
		is, _ := m.Piece().Line()
		assert.Equal(t, piece.Content(was), piece.Content(is), file)
		m.Begin()
		typed(t, m, "<Up> <Down>")
		is, _ = m.Piece().Line()
		assert.Equal(t, piece.Content(was), piece.Content(is), "%s: one note up and down again", file)
	}
}

func TestWhatIsWrittenIsReadBackFromMusicXML(t *testing.T) {
	m := page()
	m.SetTitle("Late Bus")
	m.SetKey(piece.Key{Fifths: -2})
	m.SetTempo(92)
	m.SetPickup(piece.Quarter)
	typed(t, m, "8 b c 4 d . e f j g j 8 3 a g f 2 e h 4 d p c i b")
	assert.True(t, m.Loud("mf  cresc. molto"))
	assert.False(t, m.Loud("very yellow"))
	var b bytes.Buffer
	require.NoError(t, export.MusicXML(&b, m.Piece(), export.Options{}))
	p, err := notation.Read("late_bus.musicxml", b.Bytes())
	require.NoError(t, err)
	was, _ := m.Piece().Line()
	is, _ := p.Line()
	assert.Equal(t, piece.Content(was), piece.Content(is))
	assert.Equal(t, "Late Bus", p.Title)
	last := p.Measures[len(p.Measures)-1].Notes
	assert.Equal(t, "mf cresc. molto", last[len(last)-1].Dynamics)
}

func TestAPageIsValidMusicXMLWhateverStateItIsIn(t *testing.T) {
	schema := scoretest.NewSchema(t)
	files := map[string][]byte{}
	m := page()
	keep := func() {
		var b bytes.Buffer
		require.NoError(t, export.MusicXML(&b, m.Piece(), export.Options{}))
		files[fmt.Sprint(len(files))] = b.Bytes()
	}
	keep()
	m.SetTitle("<Late> & Bus")
	m.SetPickup(piece.Quarter)
	m.SetTempo(92)
	for _, k := range keysOf("8bc4d.efjgj 83ag f2eh4dpci:b wwk t b m 6abcdefga R 3 2 e i : <Home> 1 <Right> 32 <End> s l <Return> <Return> c") {
		m.Press(k, manuscript.Held{}, strings4)
		m.Loud("sfz dim. molto")
		keep()
	}
	assert.Empty(t, schema.Invalid(t, files))
}

func TestALengthThatDoesNotFitGivesWayToWhatIsLeftOfTheMeasure(t *testing.T) {
	m := page()
	m.SetTime(piece.Time{Beats: 3, Unit: 4})
	typed(t, m, "2cdef")
	assert.Equal(t, []string{"half", "quarter", "quarter", "quarter"}, valuesOf(m))
	m = page()
	m.SetTime(piece.Time{Beats: 3, Unit: 4})
	typed(t, m, "4cd2e")
	assert.True(t, m.Bars[0].Notes[2].TieToNext, "what was chosen for it goes over the bar line")
}

func TestAnotherMetreMakesOneNoteAgainOfWhatABarLineDivided(t *testing.T) {
	m := page()
	m.SetTime(piece.Time{Beats: 2, Unit: 4})
	typed(t, m, "2gba.4d")
	require.Len(t, m.Bars, 4)
	m.SetTime(piece.Time{Beats: 3, Unit: 4})
	m.SetTime(piece.Time{Beats: 4, Unit: 4})
	assert.Equal(t, []string{"half", "half", "half", "quarter"}, valuesOf(m))
	assert.Equal(t, 1, m.Bars[1].Notes[0].Dots)
	assert.False(t, m.Bars[1].Notes[0].TieToNext)
}

func TestANoteTiedOverTheBarLineMovesAsOne(t *testing.T) {
	m := page()
	typed(t, m, "4cde2fos")
	first, rest := m.Bars[0].Notes[3], m.Bars[1].Notes[0]
	assert.True(t, first.TieToNext)
	assert.Equal(t, piece.Spelling{Step: "F", Alter: 1, Octave: 4}, first.Spelling)
	assert.Equal(t, first.Spelling, rest.Spelling)
	assert.Equal(t, first.MIDI, rest.MIDI)
	m.Undo()
	m.Undo()
	assert.Equal(t, 3, m.Bars[0].Notes[3].Octave)
}

func pitches(m *manuscript.Manuscript) (all []string) {
	for _, b := range m.Piece().Measures {
		for _, n := range b.Notes {
			if !n.Rest {
				all = append(all, fmt.Sprint(n.Step, n.Octave))
			}
		}
	}
	return all
}

func valuesOf(m *manuscript.Manuscript) (all []string) {
	for _, b := range m.Bars {
		for _, n := range b.Notes {
			all = append(all, n.Value)
		}
	}
	return all
}

func TestWhereAllIsDeletedOneWritesOnWithTheLengthInHandBefore(t *testing.T) {
	m := page()
	typed(t, m, "cd8ef4")
	m.All()
	assert.Equal(t, "eighth", m.Hand.Value, "that of the note chosen last")
	m.Delete()
	typed(t, m, "c")
	assert.Equal(t, "quarter", m.Bars[0].Notes[0].Value)
}

func TestBehindADottedHalfOfFourBeatsTheFourthIsInHand(t *testing.T) {
	m := page()
	typed(t, m, "2g.0c")
	assert.Equal(t, "quarter", m.Bars[0].Notes[1].Value)
	assert.Zero(t, m.Off(0))
	assert.Len(t, m.Bars[1].Notes, 1)
}
