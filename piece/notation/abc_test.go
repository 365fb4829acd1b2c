package notation_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece"
	"endpin/piece/notation"
)

func readABC(t *testing.T, text string, opts ...notation.Option) *piece.Piece {
	t.Helper()
	p, err := notation.Read("tune.abc", []byte(text), opts...)
	require.NoError(t, err)
	return p
}

// bassTune is a head in 4/4 with quarter notes for units.
func bassTune(music string) string { return "X:1\nT:Test\nM:4/4\nL:1/4\nK:C clef=bass\n" + music }

// abcOrder plays a tune of whole-note measures out and writes their numbers.
func abcOrder(t *testing.T, music string) string {
	t.Helper()
	p := readABC(t, "X:1\nM:4/4\nL:1/1\nK:C bass\n"+music)
	_, played := p.Line()
	var b strings.Builder
	for _, m := range played {
		b.WriteString(p.Measures[m.Measure].Number)
	}
	return b.String()
}

// ABC 2.1, 4.6: what the clef and its properties do to the sound. E,, is
// written E2, under the staff of the bass clef.
func TestWhereAnABCTuneSounds(t *testing.T) {
	for name, c := range map[string]struct {
		key, note        string
		midi, transposed int
		by               string
	}{
		"a bass clef":      {"C clef=bass", "E,,", 28, -12, "No transposition in the file: taken as written for the double bass, sounding an octave lower."},
		"no clef":          {"C", "E,,", 28, -12, "No transposition in the file: taken as written for the double bass, sounding an octave lower."},
		"bass-8":           {"C clef=bass-8", "E,,", 28, -12, "Written in the ottava bassa clef, sounding an octave lower."},
		"bass-8 by itself": {"C bass-8", "E,,", 28, -12, "Written in the ottava bassa clef, sounding an octave lower."},
		"transpose=-12":    {"C clef=bass transpose=-12", "E,,", 28, -12, "The file's transposition: sounding an octave lower."},
		"transpose=0":      {"C clef=bass transpose=0", "E,,", 40, 0, "The file's transposition: sounding as written."},
		"octave=-2":        {"C clef=bass octave=-2", "E", 28, -12, "No transposition in the file: taken as written for the double bass, sounding an octave lower."},
		"middle=d":         {"C clef=bass middle=d", "E", 28, -12, "No transposition in the file: taken as written for the double bass, sounding an octave lower."},
		"below the page":   {"C clef=bass", "E,,,", 28, 0, "No transposition in the file: its lowest notes would lie below the double bass, so it is taken as it sounds."},
	} {
		t.Run(name, func(t *testing.T) {
			p := readABC(t, "X:1\nM:4/4\nL:1/1\nK:"+c.key+"\n"+c.note+"|\n")
			assert.Equal(t, c.midi, p.Measures[0].Notes[0].MIDI)
			assert.Equal(t, c.transposed, p.Transposed)
			assert.Equal(t, c.by, p.TransposedBy)
		})
	}
	p := readABC(t, "X:1\nL:1/1\nV:1 clef=bass-8\nK:C\nV:1\nE,,|\n")
	assert.Equal(t, 28, p.Measures[0].Notes[0].MIDI, "also where V: gives the clef")
	p = readABC(t, "X:1\nL:1/1\n%%MIDI transpose -12\nK:C bass\nE,,|\n")
	assert.Equal(t, "The file's transposition: sounding an octave lower.", p.TransposedBy)
}

func TestAVoiceNamedLikeABassIsChosen(t *testing.T) {
	text := "X:1\nM:4/4\nL:1/4\nV:T name=\"Tune\"\nV:B name=\"Double bass\" clef=bass\nK:G\n[V:T] GABc|dcBA|\n[V:B] G,,2D,2|G,,4|\n[V:T] G4|\n[V:B] D,4|\n"
	p := readABC(t, text)
	assert.Equal(t, "Double bass", p.Part)
	assert.Len(t, p.Measures, 3)
	assert.Equal(t, "Tune", readABC(t, text, notation.Part("T")).Part)
	assert.Equal(t, "Tune", readABC(t, text, notation.Part("1")).Part)
	_, err := notation.Read("tune.abc", []byte(text), notation.Part("viola"))
	assert.EqualError(t, err, `tune.abc: no part "viola" in it: choose one of 1 Tune, 2 Double bass`)
}

func TestABCMeasuresAreNumberedAsOnThePage(t *testing.T) {
	numbers := func(music string) string {
		p := readABC(t, bassTune(music))
		var all []string
		for _, m := range p.Measures {
			all = append(all, m.Number)
		}
		return strings.Join(all, " ")
	}
	assert.Equal(t, "1 2 3", numbers("C,4|D,4|E,4|]"))
	assert.Equal(t, "0 1 2", numbers("C,|D,4|E,3|]"), "a pickup")
	assert.Equal(t, "0 1 2 2a 3 4", numbers("C,|:D,4|E,3:|F,|G,4|A,3|]"), "a repeat sign inside a measure")
	assert.Equal(t, "1 2 3 4", numbers("C,4|Z2|D,4|"), "rests of measures count")
	assert.Equal(t, "1 2", numbers("||:C,4:||:D,4:||\n\n"), "signs without notes between are no measure")
	assert.Equal(t, "0 1 2 3", numbers("C,2|:D,4|1 E,2:|2 F,2|]"), "endings that are short for the pickup's sake")
	free := readABC(t, "X:1\nL:1/4\nM:none\nK:C bass\nC,|D,3|\n")
	assert.Equal(t, "1", free.Measures[0].Number, "without a meter there is no pickup")
}

func TestABCRepeatsAndJumpsArePlayed(t *testing.T) {
	for music, want := range map[string]string{
		"C,|D,:|E,|":                             "12123",
		"|::C,|D,::|E,|":                         "1212123", // ABC 2.1, 4.8: three times
		"C,|:D,:|1E,":                            "1223",
		"|:C,|[1,2 D,:|[3 E,|F,|]":               "1212134",
		"|:C,|1-2 D,:|3 E,|F,|]":                 "1212134",
		"C,|D,!fine!|E,!D.C.!|]":                 "12312",
		"C,|D, \"^Fine\"|E, \"^D.C. al Fine\"|]": "12312",
		"C,|!segno!D,|E,!D.S.!|]":                "12323",
		"C,|SD,!dacoda!|E,!D.S.alcoda!|OF,|]":    "12324",
		"C,|D,|E,|]!D.C.!":                       "123123",
		"C,!coda!|D,|E,!D.C.!|!coda!F,|]":        "12314",
		"C,|D,||E,:|":                            "123123",
	} {
		assert.Equal(t, want, abcOrder(t, music+"\n"), music)
	}
}

func TestABCMarksAreRead(t *testing.T) {
	p := readABC(t, bassTune("\"^I\"!0!D,u!1!E, v!4!F, !open!G,|\"^III\"!1!C .D HE !breath!F|\"^pizz.\"C,2\"_arco\"D,\"^sul A\"E,|(C,D, E,2)|\n"))
	line, _ := p.Line()
	var marks []piece.Marks
	for _, e := range line[:5] {
		marks = append(marks, e.Marks)
	}
	assert.Equal(t, []piece.Marks{
		{Finger: "0", Position: "1"}, {Finger: "1", Bow: piece.Up}, {Finger: "4", Bow: piece.Down}, {Open: true}, {Finger: "1", Position: "3"},
	}, marks)
	assert.True(t, line[5].Articulation.Staccato)
	assert.True(t, line[6].Articulation.Fermata)
	assert.True(t, line[7].Articulation.Breath)
	assert.True(t, line[8].Articulation.Pizz)
	assert.False(t, line[9].Articulation.Pizz)
	assert.Equal(t, 3, line[10].Marks.String)
	assert.Equal(t, []bool{false, true, true}, []bool{line[11].Slurred, line[12].Slurred, line[13].Slurred})
}

func TestNotesWithoutASpaceAreBeamed(t *testing.T) {
	p := readABC(t, "X:1\nM:4/4\nL:1/8\nK:C bass\nC,D,E,F, G,A,B,2|C,D, z C, D,4|\n")
	var beams []string
	for _, m := range p.Measures {
		for _, n := range m.Notes {
			beams = append(beams, n.Beam)
		}
	}
	assert.Equal(t, []string{"begin", "continue", "continue", "end", "begin", "end", "", "begin", "end", "", "", ""}, beams)
}

func TestABCGraceNotesAndChords(t *testing.T) {
	p := readABC(t, bassTune("{C,D,}E,2[G,,D,]2|[C,-E,-]2[C,E,]2|\n"))
	line, _ := p.Line()
	require.Len(t, line, 3)
	assert.True(t, line[0].Grace)
	assert.Equal(t, 31, line[1].MIDI, "G1, the lowest of the chord")
	assert.Equal(t, 4*piece.Quarter, line[2].Length, "a chord tied to the next")
	assert.Equal(t, []string{"Chords in measures 1 and 2 are played as their lowest note."}, p.NotPlayed)
}

func TestASecondLayerOfAMeasureIsNotPlayed(t *testing.T) {
	p := readABC(t, bassTune("C,D,E,F, & G,4|C,4|\n"))
	line, _ := p.Line()
	assert.Len(t, line, 5)
	assert.Equal(t, []string{"A second voice in measure 1 is not played."}, p.NotPlayed)
}

func TestATempoCountsInItsOwnBeat(t *testing.T) {
	for q, want := range map[string]float64{
		"1/4=76": 76, "3/8=50": 75, "\"Andante\" 1/4=66": 66, "1/2=40": 80, "1/4=92 \"lively\"": 92, "1/4 1/8=40": 60, "120": 120, "\"slow\"": 0,
	} {
		p := readABC(t, "X:1\nM:4/4\nL:1/4\nQ:"+q+"\nK:C bass\nC,4|\n")
		assert.Equal(t, want, p.TempoAt(0, 0), q)
	}
	p := readABC(t, bassTune("C,2[Q:1/4=90]D,2|\n"))
	assert.Equal(t, []piece.Tempo{{At: 2 * piece.Quarter, QPM: 90}}, p.Measures[0].Tempos)
}

func TestWhatATypistShouldKnowIsSaid(t *testing.T) {
	for music, want := range map[string]string{
		"C,D,E,F,|C,D,E,F,G,|C,4|C,4|\n": "Measure 2 holds 5 beats where the meter asks for 4: look for a slip.",
		"C,D,E,F,|C,D,E,|C,4|C,4|\n":     "Measure 2 holds 3 beats where the meter asks for 4: look for a slip.",
		"C,4|\n\nX:2\nK:C\nD,4|\n":       "The file holds 2 tunes; the first one is read.",
		"C,4|\n\nD,4|\n":                 "The empty line 7 ends the tune; the notes below it are not read.",
		"C,4|€ D,4|\n":                   "Line 6: “€” is not music and is passed over.",
		"C,4|D,@ q?q D,3|\n":             "Line 6: “@”, “q” and “?” are not music and are passed over.",
	} {
		assert.Equal(t, []string{want}, readABC(t, bassTune(music)).NotPlayed, music)
	}
	p := readABC(t, "X:1\nP:AAB\nM:4/4\nL:1/4\nK:C bass\nP:A\nC,4|\nP:B\nD,4|\n")
	assert.Equal(t, []string{"The order of sections P:AAB is not played; the tune is read from top to bottom."}, p.NotPlayed)
	assert.Equal(t, "B", p.Measures[1].Rehearsal)
}

func TestAnAccidentalReachesOnlyItsOctaveWhereTheFileSaysSo(t *testing.T) {
	pitches := func(directive string) (all []int) {
		line, _ := readABC(t, "X:1\nM:4/4\nL:1/4\n"+directive+"K:C bass\n^F, F ^F F,|\n").Line()
		for _, e := range line {
			all = append(all, e.MIDI+12)
		}
		return all
	}
	assert.Equal(t, []int{54, 66, 66, 54}, pitches(""))
	assert.Equal(t, []int{54, 65, 66, 54}, pitches("%%propagate-accidentals octave\n"))
	assert.Equal(t, []int{54, 65, 66, 53}, pitches("I:propagate-accidentals not\n"))
}

func TestTheFixturesInABCRead(t *testing.T) {
	line, _ := read(t, "lantern_row.abc").Line()
	for _, e := range line {
		assert.NotEmpty(t, e.Marks.Finger, e.Number)
	}
	p := read(t, "cart_track.abc")
	assert.Equal(t, "Written in the ottava bassa clef, sounding an octave lower.", p.TransposedBy)
	_, played := p.Line()
	assert.Len(t, played, 8+8+16, "both halves twice, an ending each time")
	for _, f := range []string{"low_tide.abc", "stone_bridge.abc", "lantern_row.abc", "cart_track.abc"} {
		assert.Empty(t, read(t, f).NotPlayed, f)
	}
}
