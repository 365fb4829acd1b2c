package notation_test

import (
	"archive/zip"
	"bytes"
	"regexp"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"

	"endpin/piece/fingerboard"
	"endpin/piece/notation"
	"endpin/piece/words/pseudo"
)

// good is a small whole score.
var good = score("Bass", attributes("")+n("E2", 16), n("A2", 16))

func TestBadFilesGetOneLineThatNamesThePlaceAndTheMend(t *testing.T) {
	for name, c := range map[string]struct{ data, want string }{
		"empty":                    {"", "the file is empty: save the piece again"},
		"only spaces":              {" \n\t\n", "the file is empty: save the piece again"},
		"some text":                {"Dear teacher,\nhere is my homework.\n", "neither MusicXML nor ABC nor MIDI: export the piece as MusicXML"},
		"a picture":                {"\x89PNG\r\n\x1a\n\x00\x00\x00", "not a text of music: export the piece as MusicXML, or write a piece that is only on paper: Write on the desk, with Picture beside it"},
		"a web page":               {"<html><body>404</body></html>", "its outermost element is <html>, not a MusicXML score: export the piece as MusicXML"},
		"cut in the middle":        {good[:len(good)/2], "the file breaks off here: export it again"},
		"cut at its end":           {good[:len(good)-5], "the file breaks off here: export it again"},
		"crossed tags":             {strings.Replace(good, "</measure>", "</part>", 1), "not well-formed XML"},
		"no parts":                 {"<score-partwise/>", "no part in it: export the piece again"},
		"no notes":                 {score("Bass", attributes("")), "no notes in it: export the piece again, with its notes"},
		"rests only":               {score("Bass", attributes("")+"<note><rest/><duration>16</duration></note>"), "no notes in it"},
		"a bad duration":           {strings.Replace(good, "<duration>16<", "<duration>long<", 1), `x.musicxml, measure 1: "long" is not a duration: export the piece again`},
		"a negative duration":      {strings.Replace(good, "<duration>16<", "<duration>-16<", 1), `measure 1: "-16" is not a duration`},
		"an endless duration":      {strings.Replace(good, "<duration>16<", "<duration>1e300<", 1), "measure 1: a duration longer than any measure: look at its <divisions>"},
		"no duration":              {strings.Replace(good, "<duration>16</duration>", "", 1), "measure 1: a note without a duration: export the piece again"},
		"a bad step":               {strings.Replace(good, "<step>A<", "<step>H<", 1), `x.musicxml, measure 2: "H2" is not a pitch: export the piece again`},
		"a bad octave":             {strings.Replace(good, "<octave>2<", "<octave>99<", 1), `measure 1: "E99" is not a pitch`},
		"no divisions at all":      {strings.Replace(good, "<divisions>4<", "<divisions>0<", 1), `measure 1: "0" divisions of a quarter note`},
		"a bad meter":              {strings.Replace(good, "<beats>4<", "<beats>four<", 1), `measure 1: "four" beats in a time signature`},
		"a note of nothing":        {strings.Replace(good, "<pitch><step>E</step><octave>2</octave></pitch>", "", 1), "measure 1: a note without pitch or rest"},
		"a bad ending":             {strings.Replace(good, "</measure>", `<barline location="left"><ending type="start" number="x"/></barline></measure>`, 1), `measure 1: an ending numbered "x"`},
		"an unknown entity":        {strings.Replace(good, "Bass<", "&bass;<", 1), "invalid character entity &bass;"},
		"an unknown encoding":      {strings.Replace(good, "UTF-8", "EBCDIC-X", 1), `unknown encoding "EBCDIC-X"`},
		"bytes that are not UTF-8": {strings.Replace(good, "Bass<", "B\xe4ss<", 1), "invalid UTF-8"},
		"a zip of nothing":         {"PK\x03\x04 and nothing more", "the compressed file is damaged: export it again"},

		"ABC without notes":       {"X:1\nT:Empty\nK:C\n", "no notes after the key: write the tune below the K: line"},
		"ABC without a key":       {"X:1\nT:Empty\nC,D,E,|\n", "no key: write a line such as K:G between the header and the notes"},
		"ABC of rests":            {"X:1\nK:C\nz4|\n", "no notes in it"},
		"an unclosed chord":       {"X:1\nK:C\n[CE\n", "x.musicxml, line 3: a chord is not closed: write ] after its notes"},
		"unclosed grace notes":    {"X:1\nK:C\n{CE\n", "line 3: grace notes are not closed: write } after them"},
		"unclosed words":          {"X:1\nK:C\n\"^III C\n", "line 3: words are not closed: write \" after them"},
		"an unclosed field":       {"X:1\nK:C\nC [M:3/4\n", "line 3: the field [M: is not closed: write ] after it"},
		"a strange key":           {"X:1\nK:H\nC\n", `line 2: "H" is not a key: write K:G or K:Dmin`},
		"a strange mode":          {"X:1\nK:Dblue\nC\n", `line 2: "Dblue" is not a mode: write K:Dmin, K:Ddor or K:D`},
		"a strange meter":         {"X:1\nM:4/5\nK:C\nC\n", `line 2: "4/5" is not a meter: write M:4/4`},
		"a strange unit":          {"X:1\nL:1/x\nK:C\nC\n", `line 2: "1/x" is not a note length: write L:1/8`},
		"a strange clef":          {"X:1\nK:C clef=bas\nC\n", `line 2: "bas" is not a clef: write clef=bass`},
		"a strange octave":        {"X:1\nK:C octave=low\nC\n", "line 2: octave=low: write a number of octaves such as octave=-1"},
		"a lone accidental":       {"X:1\nK:C\nC ^ D\n", "line 3: an accidental without a note after it"},
		"a note out of the world": {"X:1\nK:C\nC,,,,,,\n", "line 3: a note -6 octaves from the middle: look at its commas"},
		"a huge length":           {"X:1\nK:C\nC99999\n", `line 3: "99999" is not a note length`},
		"a tiny length":           {"X:1\nK:C\nC////////////\n", "line 3: a note shorter than any note value"},
		"a tuplet of nothing":     {"X:1\nK:C\n(99:1:1CDE\n", "line 3: a tuplet of 0 notes: write (3 before a triplet"},
		"too many rests":          {"X:1\nM:4/4\nK:C\nC|Z20000|Z20000|\n", "line 4: more than 20000 measures: save a shorter piece"},
		"repeats beyond measure":  {score("Bass", attributes("")+n("E2", 16)+`<barline location="right"><repeat direction="backward" times="1000000"/></barline>`), "the repeats make the piece longer than 20000 measures"},
	} {
		t.Run(name, func(t *testing.T) {
			p, err := notation.Read("x.musicxml", []byte(c.data))
			require.Error(t, err)
			assert.Nil(t, p)
			assert.Contains(t, err.Error(), c.want)
			assert.True(t, strings.HasPrefix(err.Error(), "x.musicxml"), err.Error())
			assert.NotContains(t, err.Error(), "\n")
			assert.Empty(t, inCode("x.musicxml", []byte(c.data)), "in another language")
		})
	}
	_, err := notation.Read("x.musicxml", []byte(strings.Replace(good, "</part-list>", `<score-part id="P2"><part-name>Oboe</part-name></score-part></part-list>`, 1)), notation.Part("Oboe"))
	assert.EqualError(t, err, `x.musicxml: part "Oboe" has no notes: choose another part`)
}

// inCode is what an error about a file says that does not stand in the catalogue,
// beside the words of the file and of the library that reads XML.
func inCode(name string, data []byte) string {
	defer pseudo.Speak()()
	_, err := notation.Read(name, data)
	said := regexp.MustCompile(`"[^"]*"|<\w+>|\(.*?\)`).ReplaceAllString(err.Error(), " ")
	return pseudo.Plain(said, name, "=low:", "xml: opening charset", "xml: encoding", "invalid UTF-8")
}

// What is told of a file that is read.
func TestWhatIsSaidOfAFileStandsInTheCatalogue(t *testing.T) {
	defer pseudo.Speak()()
	solo, err := fingerboard.ByWord("bass-solo")
	require.NoError(t, err)
	low, _ := solo.Range()
	twoVoices := "C,D,E,F, & G,4|[C,E,]4|[C,E,]4|^/F,4|!trill!C,4|C,5|C,3|€ C,4|\n"
	said := map[string]bool{}
	for _, music := range []string{
		bassTune(twoVoices), bassTune("C,4|\n\nX:2\nK:C\nD,4|\n"), bassTune("C,4|\n\nD,4|\n"),
		"X:1\nP:AAB\nM:4/4\nL:1/4\nK:C bass\nP:A\nC,4|\n", "X:1\nM:4/4\nL:1/4\nK:C bass-8\nC4|\n", "X:1\nM:4/4\nL:1/4\nK:C treble+8\nC,4|\n",
		"X:1\nM:4/4\nL:1/4\nK:C bass transpose=-10\nC4|\n", "X:1\nM:4/4\nL:1/4\nK:C bass transpose=1\nC4|\n",
		"X:1\nM:4/4\nL:1/4\nK:C bass\nC,,4|\n", "X:1\nM:4/4\nL:1/4\nK:C bass\nG,4|\n",
	} {
		p, err := notation.Read("x.abc", []byte(music), notation.For(solo.Name, solo.Family, solo.Printed, low))
		require.NoError(t, err, music)
		assert.NotEmpty(t, p.TransposedBy, music)
		for _, s := range append(p.NotPlayed, p.TransposedBy) {
			said[s] = true
			assert.Empty(t, pseudo.Plain(s, "AAB"), s)
		}
	}
	assert.GreaterOrEqual(t, len(said), 12)
}

func TestContentIsLookedAtNotTheName(t *testing.T) {
	_, err := notation.Read("tune.abc", []byte(good))
	require.NoError(t, err)
	_, err = notation.Read("tune.musicxml", []byte("X:1\nK:C bass\nC,|\n"))
	require.NoError(t, err)
	_, err = notation.Read("tune.xml", packed(t, map[string]string{"META-INF/container.xml": container("a/b.xml"), "a/b.xml": good}))
	require.NoError(t, err)
}

func TestEveryEncodingThatAFileDeclaresIsRead(t *testing.T) {
	text := strings.Replace(good, "Bass<", "Bäss<", 1)
	latin, err := charmap.ISO8859_1.NewEncoder().String(strings.Replace(text, "UTF-8", "ISO-8859-1", 1))
	require.NoError(t, err)
	utf16 := strings.Replace(text, "UTF-8", "UTF-16", 1)
	little, err := unicode.UTF16(unicode.LittleEndian, unicode.UseBOM).NewEncoder().String(utf16)
	require.NoError(t, err)
	big, err := unicode.UTF16(unicode.BigEndian, unicode.UseBOM).NewEncoder().String(utf16)
	require.NoError(t, err)
	undeclared := strings.Replace(text, ` encoding="UTF-8"`, "", 1)
	bare, err := charmap.ISO8859_1.NewEncoder().String(undeclared)
	require.NoError(t, err)
	for name, data := range map[string]string{
		"UTF-8": text, "UTF-8 with a mark": "\xEF\xBB\xBF" + text, "UTF-16 little": little, "UTF-16 big": big,
		"Latin-1": latin, "UTF-8 undeclared": undeclared, "Latin-1 undeclared": bare,
	} {
		p, err := notation.Read("x", []byte(data))
		require.NoError(t, err, name)
		assert.Equal(t, "Bäss", p.Part, name)
	}
	p, err := notation.Read("x", []byte("X:1\nT:M\xe4rz\nK:C bass\nC,|\n"))
	require.NoError(t, err)
	assert.Equal(t, "März", p.Title)
}

// packed makes a zip file.
func packed(t testing.TB, files map[string]string) []byte {
	t.Helper()
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	for name, content := range files {
		f, err := w.Create(name)
		require.NoError(t, err)
		_, err = f.Write([]byte(content))
		require.NoError(t, err)
	}
	require.NoError(t, w.Close())
	return b.Bytes()
}

func container(path string) string {
	return `<?xml version="1.0"?><container><rootfiles><rootfile full-path="` + path + `" media-type="application/vnd.recordare.musicxml+xml"/><rootfile full-path="x.pdf"/></rootfiles></container>`
}

// MusicXML 4.0, "Compressed .mxl files".
func TestACompressedScoreIsFoundByItsContainer(t *testing.T) {
	other := strings.Replace(good, "Bass", "Oboe", 1)
	p, err := notation.Read("x.mxl", packed(t, map[string]string{"META-INF/container.xml": container("music/score.musicxml"), "music/score.musicxml": good, "first.xml": other}))
	require.NoError(t, err)
	assert.Equal(t, "Bass", p.Part)
	p, err = notation.Read("x.mxl", packed(t, map[string]string{"score.xml": good}))
	require.NoError(t, err, "without a container the only score is taken")
	assert.Equal(t, "Bass", p.Part)

	for name, c := range map[string]struct {
		files map[string]string
		want  string
	}{
		"a path that climbs out": {map[string]string{"META-INF/container.xml": container("../../etc/passwd"), "../../etc/passwd": good}, `its container points outside the file ("../../etc/passwd"): export it again`},
		"an absolute path":       {map[string]string{"META-INF/container.xml": container("/etc/passwd"), "/etc/passwd": good}, "its container points outside the file"},
		"a path by another way":  {map[string]string{"META-INF/container.xml": container(`..\\x.xml`), "x.xml": good}, "its container points outside the file"},
		"a missing score":        {map[string]string{"META-INF/container.xml": container("gone.xml")}, `its container names "gone.xml", which is not in it: export it again`},
		"no score":               {map[string]string{"readme.txt": "hello"}, "a zip file without a score in it: export the piece as MusicXML"},
		"a broken container":     {map[string]string{"META-INF/container.xml": "<container><roo", "x.xml": good}, "its container is damaged: export it again"},
		"a score that is none":   {map[string]string{"x.xml": "hello"}, "neither MusicXML nor ABC nor MIDI"},
		"a bomb":                 {map[string]string{"x.xml": strings.Repeat(" ", 33<<20)}, "unpacks to more than 32 MB: save the part alone"},
	} {
		_, err := notation.Read("x.mxl", packed(t, c.files))
		require.Error(t, err, name)
		assert.Contains(t, err.Error(), c.want, name)
		assert.NotContains(t, err.Error(), "\n", name)
		assert.Empty(t, inCode("x.mxl", packed(t, c.files)), "%s, in another language", name)
	}
	whole := packed(t, map[string]string{"x.xml": good})
	_, err = notation.Read("x.mxl", whole[:len(whole)-30])
	assert.EqualError(t, err, "x.mxl: the compressed file is damaged: export it again")
}

// None of these may take memory out of proportion; each ends in one line.
func TestHostileFilesStayWithinBounds(t *testing.T) {
	laughs := `<?xml version="1.0"?><!DOCTYPE score-partwise [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;"><!ENTITY c "&b;&b;&b;&b;&b;&b;&b;&b;">]><score-partwise><part-list><score-part id="P1"><part-name>&c;</part-name></score-part></part-list></score-partwise>`
	files := map[string]string{
		"an entity bomb":        laughs,
		"deep nesting":          "<score-partwise><part id=\"P1\"><measure number=\"1\">" + strings.Repeat("<a>", 1<<18),
		"an endless head":       "<score-partwise><part-list>" + strings.Repeat("<a/>", 1<<18),
		"an endless tag":        "<score-partwise " + strings.Repeat("a='' ", 1<<18) + ">",
		"too many elements":     "<score-partwise><part id=\"P1\"><measure number=\"1\">" + strings.Repeat("<a/>", 1<<18) + "</measure></part></score-partwise>",
		"too many parts":        "<score-partwise>" + strings.Repeat(`<part id="x"><measure number="1"/></part>`, 1<<17) + "</score-partwise>",
		"too many measures":     "<score-partwise><part id=\"P1\">" + strings.Repeat("<measure number=\"1\"/>", 1<<18) + "</part></score-partwise>",
		"too many notes":        score("Bass", attributes("")+strings.Repeat(n("E2", 1), 1<<14), strings.Repeat(n("E2", 1), 1<<17)),
		"ABC: too many notes":   "X:1\nK:C\n" + strings.Repeat("C|", 1<<18),
		"ABC: too many graces":  "X:1\nK:C\n{" + strings.Repeat("C", 1<<18) + "}C|",
		"ABC: too many voices":  "X:1\nK:C\nC|" + strings.Repeat("\n[V:x", 1) + strings.Repeat("1]C|[V:x1", 1<<17) + "]C|\n",
		"ABC: open slurs":       "X:1\nK:C\n" + strings.Repeat("(", 1<<18) + "C|\n",
		"ABC: decorations":      "X:1\nK:C\n" + strings.Repeat("!x!", 1<<18) + "C|\n",
		"ABC: repeated repeats": "X:1\nM:4/4\nL:1/1\nK:C\n" + strings.Repeat("|::::::::C::::::::|", 1<<14) + "\n",
	}
	for name, text := range files {
		t.Run(name, func(t *testing.T) {
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			_, err := notation.Read("x", []byte(text))
			runtime.ReadMemStats(&after)
			if err != nil {
				assert.NotContains(t, err.Error(), "\n")
				assert.Less(t, len(err.Error()), 300)
			}
			t.Logf("%d KB of input, %d MB allocated in all", len(text)>>10, (after.TotalAlloc-before.TotalAlloc)>>20)
			// All that was ever allocated, garbage included: the peak lies below.
			assert.Less(t, after.TotalAlloc-before.TotalAlloc, uint64(400<<20))
		})
	}
}
