package notation_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece"
	"endpin/piece/notation"
)

// bassClef is the head of a plain bass part in 4/4, four divisions a quarter.
const bassClef = `<divisions>4</divisions><time><beats>4</beats><beat-type>4</beat-type></time><clef><sign>F</sign><line>4</line></clef>`

// score wraps measures into a partwise score of one part.
func score(partName string, measures ...string) string {
	var b strings.Builder
	fmt.Fprintf(&b, `<?xml version="1.0" encoding="UTF-8"?><score-partwise version="4.0"><part-list><score-part id="P1"><part-name>%s</part-name></score-part></part-list><part id="P1">`, partName)
	for i, m := range measures {
		fmt.Fprintf(&b, "\n<measure number=\"%d\">%s</measure>", i+1, m)
	}
	return b.String() + "</part></score-partwise>"
}

func attributes(more string) string { return "<attributes>" + bassClef + more + "</attributes>" }

// n writes a note such as "E2" of some sixteenths, with what else belongs in it.
func n(pitch string, sixteenths int, more ...string) string {
	return fmt.Sprintf("<note><pitch><step>%s</step><octave>%s</octave></pitch><duration>%d</duration><voice>1</voice>%s</note>",
		pitch[:1], pitch[1:], sixteenths, strings.Join(more, ""))
}

func words(text string) string {
	return "<direction><direction-type><words>" + text + "</words></direction-type></direction>"
}

func readScore(t *testing.T, text string, opts ...notation.Option) *piece.Piece {
	t.Helper()
	p, err := notation.Read("tune.musicxml", []byte(text), opts...)
	require.NoError(t, err)
	return p
}

// MusicXML 4.0, "transpose": what must be added to a written pitch to get a
// correct sounding pitch. A clef's octave is display: the pitch counts it in.
func TestWhereABassPartSounds(t *testing.T) {
	transpose := "<transpose><chromatic>0</chromatic><octave-change>-1</octave-change></transpose>"
	ottava := "<divisions>4</divisions><clef><sign>F</sign><line>4</line><clef-octave-change>-1</clef-octave-change></clef>"
	for name, c := range map[string]struct {
		attributes, pitch string
		midi, transposed  int
		page              int // the octave on the page
		by                string
	}{
		"the file transposes":         {bassClef + transpose, "E2", 28, -12, 2, "The file's transposition: sounding an octave lower."},
		"a cello part shared":         {bassClef + "<transpose><chromatic>0</chromatic><double/></transpose>", "E2", 28, -12, 2, "The file's transposition: sounding an octave lower."},
		"solo tuning":                 {bassClef + "<transpose><chromatic>-10</chromatic></transpose>", "E2", 30, -10, 2, "The file's transposition: sounding 10 semitones lower."},
		"the ottava bassa clef":       {ottava, "E1", 28, -12, 2, "Written in the ottava bassa clef, sounding an octave lower."},
		"both":                        {ottava + transpose, "E2", 28, -12, 2, "The file's transposition: sounding an octave lower."},
		"neither":                     {bassClef, "E2", 28, -12, 2, "No transposition in the file: taken as written for the double bass, sounding an octave lower."},
		"neither, as low as a B":      {bassClef, "B1", 23, -12, 1, "No transposition in the file: taken as written for the double bass, sounding an octave lower."},
		"neither, and too low for it": {bassClef, "E1", 28, 0, 1, "No transposition in the file: its lowest notes would lie below the double bass, so it is taken as it sounds."},
		"the file says: as it sounds": {bassClef + "<transpose><chromatic>0</chromatic></transpose>", "E2", 40, 0, 2, "The file's transposition: sounding as written."},
	} {
		t.Run(name, func(t *testing.T) {
			p := readScore(t, score("Double Bass", "<attributes>"+c.attributes+"</attributes>"+n(c.pitch, 16)))
			note := p.Measures[0].Notes[0]
			assert.Equal(t, c.midi, note.MIDI)
			assert.Equal(t, c.transposed, p.Transposed)
			assert.Equal(t, c.page, note.Octave)
			assert.Equal(t, c.by, p.TransposedBy)
		})
	}
}

func TestTimewiseReadsAsPartwiseDoes(t *testing.T) {
	part := readScore(t, score("Bass", attributes("")+n("E2", 16), n("G2", 8)+n("A2", 8)))
	timewise := `<score-timewise version="4.0"><part-list><score-part id="P0"><part-name>Flute</part-name></score-part><score-part id="P1"><part-name>Bass</part-name></score-part></part-list>
<measure number="1"><part id="P0">` + n("C5", 4) + `</part><part id="P1">` + attributes("") + n("E2", 16) + `</part></measure>
<measure number="2"><part id="P0">` + n("C5", 4) + `</part><part id="P1">` + n("G2", 8) + n("A2", 8) + `</part></measure></score-timewise>`
	whole := readScore(t, timewise)
	whole.Taken, whole.Parts = part.Taken, part.Parts // it has two parts
	assert.Equal(t, part, whole)
}

func TestThePartIsChosen(t *testing.T) {
	part := func(id, pitch string) string {
		return `<part id="` + id + `"><measure number="1">` + attributes("") + n(pitch, 16) + `</measure></part>`
	}
	list := func(name string, id string) string {
		return `<score-part id="` + id + `"><part-name>` + name + `</part-name></score-part>`
	}
	text := `<score-partwise><part-list>` + list("Bassoon", "P1") + list("Violoncello", "P2") + list("Kontrabass", "P3") +
		`<score-part id="P4"><part-name>Strings</part-name><midi-instrument id="P4-I1"><midi-program>44</midi-program></midi-instrument></score-part>` +
		`</part-list>` + part("P1", "E3") + part("P2", "G3") + part("P3", "A3") + part("P4", "B3") + `</score-partwise>`
	assert.Equal(t, "Kontrabass", readScore(t, text).Part, "the first that is named like a bass, and a bassoon is not")
	assert.Equal(t, "Violoncello", readScore(t, text, notation.Part("2")).Part)
	assert.Equal(t, "Violoncello", readScore(t, text, notation.Part("violoncello")).Part)
	assert.Equal(t, "Violoncello", readScore(t, text, notation.Part("P2")).Part)
	assert.Equal(t, "Strings", readScore(t, strings.Replace(text, "Kontrabass", "Viola", 1)).Part, "by General MIDI's contrabass")
	assert.Equal(t, "Bassoon", readScore(t, strings.NewReplacer("Kontrabass", "Viola", "44", "1").Replace(text)).Part, "else the first with notes")
}

func TestPencilledMarksAreRead(t *testing.T) {
	technical := func(s string) string {
		return "<notations><technical>" + s + "</technical></notations>"
	}
	p := readScore(t, score("Bass",
		attributes("")+
			n("A2", 4, technical("<up-bow/><fingering>1</fingering><string>2</string>"))+
			n("B2", 4, technical("<down-bow/><fingering>4</fingering><other-technical>III pos.</other-technical>"))+
			n("G2", 4, technical("<open-string/>"))+
			n("G3", 4, technical("<harmonic><natural/></harmonic>")),
		words("II-III")+n("A2", 4)+n("A2", 4)+words("sul D")+n("A2", 4, technical("<thumb-position/>"))+n("A2", 4)))
	var marks []piece.Marks
	for _, m := range p.Measures {
		for _, x := range m.Notes {
			marks = append(marks, x.Marks)
		}
	}
	assert.Equal(t, []piece.Marks{
		{Bow: piece.Up, Finger: "1", String: 2},
		{Bow: piece.Down, Finger: "4", Position: "3"},
		{Open: true},
		{Harmonic: true},
		{Position: "2-3"},
		{},
		{Finger: "T", Position: "thumb", String: 2},
		{},
	}, marks)
}

func TestHowLongANoteOughtToSoundIsRead(t *testing.T) {
	p := readScore(t, score("Bass",
		attributes("")+
			n("A2", 4, "<notations><articulations><staccato/></articulations></notations>")+
			n("A2", 4, "<notations><articulations><spiccato/></articulations></notations>")+
			n("A2", 4, "<notations><articulations><breath-mark/></articulations></notations>")+
			n("A2", 4, "<notations><fermata/></notations>"),
		words("pizz.")+n("A2", 8)+"<direction><direction-type><words>senza vib.</words></direction-type></direction>"+n("A2", 8),
		n("A2", 8)+"<direction><direction-type><dynamics><f/></dynamics></direction-type><sound pizzicato=\"no\"/></direction>"+n("A2", 8)))
	line, _ := p.Line()
	var got []piece.Articulation
	for _, e := range line {
		got = append(got, e.Articulation)
	}
	assert.Equal(t, []piece.Articulation{{Staccato: true}, {Staccato: true}, {Breath: true}, {Fermata: true},
		{Pizz: true}, {Pizz: true}, {Pizz: true}, {}}, got)
}

func TestTempoMarksAreReadInQuarterNotes(t *testing.T) {
	metronome := func(unit, more string) string {
		return "<direction><direction-type><metronome><beat-unit>" + unit + "</beat-unit>" + more + "</metronome></direction-type></direction>"
	}
	p := readScore(t, score("Bass",
		attributes("")+metronome("quarter", "<beat-unit-dot/><per-minute>c. 60</per-minute>")+n("A2", 8)+
			`<sound tempo="100"/>`+n("A2", 8),
		metronome("half", "<per-minute>50</per-minute>")+n("A2", 16),
		`<direction><direction-type><metronome><beat-unit>quarter</beat-unit><per-minute>70</per-minute></metronome></direction-type><sound tempo="72"/></direction>`+n("A2", 16),
		metronome("quarter", "<beat-unit>eighth</beat-unit>")+n("A2", 16)))
	assert.Equal(t, []piece.Tempo{{At: 0, QPM: 90}, {At: 2 * piece.Quarter, QPM: 100}}, p.Measures[0].Tempos)
	assert.Equal(t, []piece.Tempo{{At: 0, QPM: 100}}, p.Measures[1].Tempos)
	assert.Equal(t, []piece.Tempo{{At: 0, QPM: 72}}, p.Measures[2].Tempos, "the sound is what is meant")
	assert.Empty(t, p.Measures[3].Tempos)
}

// order plays a score of whole-note measures out and writes their numbers.
func order(t *testing.T, measures ...string) string {
	t.Helper()
	for i := range measures {
		if !strings.Contains(measures[i], "<note>") {
			measures[i] += n("A2", 16)
		}
	}
	measures[0] = attributes("") + measures[0]
	p := readScore(t, score("Bass", measures...))
	_, played := p.Line()
	var b strings.Builder
	for _, m := range played {
		b.WriteString(p.Measures[m.Measure].Number)
	}
	return b.String()
}

func TestJumpsAreReadFromSoundsWordsAndSigns(t *testing.T) {
	note := n("A2", 16)
	sign := func(s string) string { return "<direction><direction-type><" + s + "/></direction-type></direction>" }
	assert.Equal(t, "12312", order(t, "", note+`<sound fine="yes"/>`, note+`<sound dacapo="yes"/>`))
	assert.Equal(t, "12312", order(t, "", note+words("Fine"), note+words("D.C. al Fine")))
	assert.Equal(t, "12323", order(t, "", `<direction><direction-type><segno/></direction-type><sound segno="segno"/></direction>`+note,
		note+`<sound dalsegno="segno"/>`))
	assert.Equal(t, "12323", order(t, "", sign("segno"), note+words("D.S. al Fine")), "no fine is found")
	assert.Equal(t, "1234125", order(t, "", note+words("To Coda"), "", note+words("D.C. al Coda"), words("Coda")+note))
	assert.Equal(t, "1234125", order(t, "", note+sign("coda"), "", note+words("D.C. al Coda"), sign("coda")+note), "two coda signs: to it, and it")
	assert.Equal(t, "1234125", order(t, "", note+`<sound tocoda="coda"/>`, "", note+`<sound dacapo="yes"/>`, `<sound coda="coda"/>`+note))
}

func TestRepeatSignsStandWhereTheFilePutsThem(t *testing.T) {
	note := n("A2", 16)
	bar := func(location, inner string) string {
		return `<barline location="` + location + `">` + inner + `</barline>`
	}
	forward, backward := `<repeat direction="forward"/>`, `<repeat direction="backward"/>`
	assert.Equal(t, "12323", order(t, "", bar("left", forward)+note, note+bar("right", backward)))
	assert.Equal(t, "12323", order(t, note+bar("right", forward), "", note+bar("right", backward)), "a forward sign at the end before")
	assert.Equal(t, "12123", order(t, "", "", bar("left", backward)+note), "a backward sign at the start after")
	assert.Equal(t, "11112", order(t, note+bar("right", `<repeat direction="backward" times="4"/>`), ""))
	ending := func(kind, numbers string) string {
		return `<ending type="` + kind + `" number="` + numbers + `"/>`
	}
	assert.Equal(t, "1212134", order(t, "",
		bar("left", ending("start", "1, 2"))+note+bar("right", ending("stop", "1, 2")+backward),
		bar("left", ending("start", "3"))+note+bar("right", ending("discontinue", "3")), ""))
	assert.Equal(t, "1213", order(t, "", bar("left", ending("start", "1"))+note+bar("right", backward),
		bar("left", ending("start", "2"))+note), "brackets that nobody closed")

	p := readScore(t, score("Bass", attributes("")+n("A2", 12)+bar("middle", backward)+n("G2", 4), n("E2", 16)))
	require.Len(t, p.Measures, 3, "a repeat sign inside a measure cuts it")
	assert.Equal(t, []string{"1", "1a", "2"}, []string{p.Measures[0].Number, p.Measures[1].Number, p.Measures[2].Number})
	assert.True(t, p.Measures[1].Implicit)
}

func TestNumbersAreThePrintedOnes(t *testing.T) {
	text := `<score-partwise><part-list/><part id="P1">` +
		`<measure number="0" implicit="yes" text="x">` + attributes("") + n("A2", 4) + `</measure>` +
		`<measure number="1">` + n("A2", 16) + `</measure><measure number="2" text="12a">` + n("A2", 16) + `</measure></part></score-partwise>`
	p := readScore(t, text)
	assert.Equal(t, []string{"0", "1", "12a"}, []string{p.Measures[0].Number, p.Measures[1].Number, p.Measures[2].Number})
	assert.Equal(t, piece.Quarter, p.Measures[0].Length)
}

func TestASecondVoiceChordsAndPercussionAreNamed(t *testing.T) {
	backup := "<backup><duration>16</duration></backup>"
	second := strings.Replace(n("E3", 16), "<voice>1<", "<voice>2<", 1)
	chord := strings.Replace(n("E2", 16), "<note>", "<note><chord/>", 1)
	drum := "<note><unpitched/><duration>16</duration><voice>1</voice></note>"
	p := readScore(t, score("Bass", attributes("")+n("A2", 16)+backup+second, n("A2", 16)+chord, drum, n("A2", 16)+chord))
	assert.Equal(t, []string{
		"Chords in measures 2 and 4 are played as their lowest note.",
		"A second voice in measure 1 is not played.",
		"Notes without a pitch (percussion) in measure 3 are not played.",
	}, p.NotPlayed)
	line, _ := p.Line()
	assert.Equal(t, []int{33, 28, 28}, []int{line[0].MIDI, line[1].MIDI, line[2].MIDI})
}

func TestAVoiceThatRestsLetsTheOtherOneSpeak(t *testing.T) {
	rest := `<note><rest measure="yes"/><duration>16</duration><voice>1</voice></note>`
	second := strings.Replace(n("E2", 16), "<voice>1<", "<voice>2<", 1)
	p := readScore(t, score("Bass", attributes("")+n("A2", 16), rest+"<backup><duration>16</duration></backup>"+second))
	line, _ := p.Line()
	require.Len(t, line, 2)
	assert.Equal(t, 28, line[1].MIDI)
	assert.Empty(t, p.NotPlayed)
}

func TestLengthsFollowFromTheNotesTypeWhereADurationIsMissing(t *testing.T) {
	bare := func(typ, more string) string {
		return "<note><pitch><step>A</step><octave>2</octave></pitch><type>" + typ + "</type>" + more + "</note>"
	}
	p := readScore(t, score("Bass", attributes("")+bare("half", "<dot/>")+
		strings.Repeat(bare("eighth", "<time-modification><actual-notes>3</actual-notes><normal-notes>2</normal-notes></time-modification>"), 3)))
	var got []piece.Ticks
	for _, x := range p.Measures[0].Notes {
		got = append(got, x.Length)
	}
	assert.Equal(t, []piece.Ticks{3 * piece.Quarter, piece.Quarter / 3, piece.Quarter / 3, piece.Quarter / 3}, got)
}

func TestTheTunesOfTheFixturesReadAsTheirReadmeSays(t *testing.T) {
	p := read(t, "orchard_waltz.musicxml")
	assert.Equal(t, "Orchard Waltz", p.Title)
	assert.Equal(t, "0", p.Measures[0].Number)
	_, played := p.Line()
	var numbers []string
	for _, m := range played {
		numbers = append(numbers, p.Measures[m.Measure].Number)
	}
	assert.Equal(t, "0 1 2 3 4 5 6 7 8 1 2 3 4 5 6 9 10 11 12 13 14 15 16 17 18", strings.Join(numbers, " "))

	line, _ := read(t, "two_places.musicxml").Line()
	for _, e := range line {
		assert.NotEmpty(t, e.Marks.Finger, e.Number)
		assert.NotZero(t, e.Marks.String, e.Number)
	}
	line, _ = read(t, "ferry_bell.musicxml").Line()
	assert.Equal(t, piece.Quarter*3/2, line[0].Length)
	assert.True(t, line[len(line)-1].Articulation.Fermata)
	line, played = read(t, "lamplight.musicxml").Line()
	assert.Len(t, played, 24)
	assert.Equal(t, 2, line[len(line)-1].Pass)
}
