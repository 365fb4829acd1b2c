package notation_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/piece"
	"endpin/piece/fingerboard"
	"endpin/piece/notation"
)

// player is one line of a score: what its part is called, its standard sound, its
// clef and its notes.
type player struct{ name, sound, clef, notes string }

// orchestra writes a score of such parts.
func orchestra(players ...player) string {
	var list, parts strings.Builder
	for i, p := range players {
		fmt.Fprintf(&list, `<score-part id="P%d"><part-name>%s</part-name><score-instrument id="I%d"><instrument-name/><instrument-sound>%s</instrument-sound></score-instrument></score-part>`, i+1, p.name, i+1, p.sound)
		line := map[string]string{"F": "4", "C": "3", "G": "2"}[p.clef]
		fmt.Fprintf(&parts, `<part id="P%d"><measure number="1"><attributes><divisions>4</divisions><clef><sign>%s</sign><line>%s</line></clef></attributes>`, i+1, p.clef, line)
		for _, pitch := range strings.Fields(p.notes) {
			parts.WriteString(n(pitch, 4))
		}
		parts.WriteString("</measure></part>")
	}
	return "<score-partwise><part-list>" + list.String() + "</part-list>" + parts.String() + "</score-partwise>"
}

// Names as scores print them: the part for the bass, among others that only begin
// like it. Common practice, no source.
func TestTheBassPartIsFoundInManyLanguages(t *testing.T) {
	found, asked := 0, 0
	for bass, others := range map[string][]string{
		"Contrabass":                 {"Contrabassoon", "Bass Trombone", "Bass Clarinet", "B♭ (basso) Horn 3", "Bass Tuba", "Timpani", "Violoncello"},
		"Kontrabässe":                {"Kontrafagott", "Bassposaune", "Bassklarinette", "Horn in tief B", "Basstuba", "Pauken", "Violoncelli"},
		"Contrebasses à cordes":      {"Contrebasson", "Trombone basse", "Clarinette basse", "Cor en si♭ basse", "Timbales", "Violoncelles"},
		"Contrabbassi":               {"Controfagotto", "Trombone basso", "Clarinetto basso", "Corno in si♭ basso", "Timpani", "Violoncelli"},
		"Contrabajo":                 {"Contrafagot", "Trombón bajo", "Clarinete bajo", "Tuba", "Timbales", "Violonchelo"},
		"Contrabaixo":                {"Contrafagote", "Trombone baixo", "Clarinete baixo", "Violoncelo"},
		"Contrabas":                  {"Contrafagot", "Bastrombone", "Basklarinet", "Pauken", "Cello"},
		"Контрабасы":                 {"Контрафагот", "Бас-кларнет", "Туба", "Виолончели"},
		"コントラバス":                     {"バスクラリネット", "バストロンボーン", "コントラファゴット", "チェロ"},
		"Nagybőgő":                   {"Kontrafagott", "Basszusharsona", "Cselló"},
		"Double Bass 1":              {"Bass Drum", "Bass Flute", "Contrabass Clarinet", "Contrabass Trombone", "Bass Oboe"},
		"String Bass":                {"Bass Trombone", "Baritone (T.C.)", "Tuba", "Contrabass Tuba"},
		"D.B.":                       {"B. Cl.", "B. Tbn.", "Cbsn.", "Vc."},
		"Violone di ripieno":         {"Viola da gamba", "Violoncello", "Fagotto", "Cembalo"},
		"Violone e Organo":           {"Violino I", "Violino II", "Basso (voce)"},
		"Basso continuo":             {"Soprano", "Tenore", "Basso", "Fagotto"},
		"Continuo":                   {"Soprano", "Alto", "Tenor", "Bass"},
		"B.C.":                       {"Canto", "Tenore", "Basso"},
		"Basso ripieno":              {"Basso (voce)", "Fagotto", "Trombone basso"},
		"Violoncello e Contrabbasso": {"Fagotti", "Trombone basso", "Timpani"},
		"Bassi":                      {"Fagotti", "Corni in B basso", "Viole"},
		"Acoustic Bass":              {"Baritone Sax", "Bass Trombone", "Drum Kit"},
	} {
		var all []player
		for _, name := range others {
			all = append(all, player{name, "", "F", "G2 D3 G3 A3"})
		}
		before := orchestra(append(all, player{bass, "", "F", "G2 D3 G3 A3"})...)
		after := orchestra(append([]player{{bass, "", "F", "G2 D3 G3 A3"}}, all...)...)
		for _, score := range []string{before, after} {
			if asked++; assert.Equal(t, bass, readScore(t, score).Part, "among %v", others) {
				found++
			}
		}
	}
	t.Logf("the bass part by its name alone: %d of %d scores", found, asked)
}

func TestWhatSoundsLikeABassIsOneWhateverItIsCalled(t *testing.T) {
	score := orchestra(
		player{"Instrument 1", "wind.reed.bassoon", "F", "C2 G2"}, player{"Instrument 2", "brass.trombone.bass", "F", "C2 G2"},
		player{"Instrument 3", "strings.contrabass", "F", "E2 G2"}, player{"Instrument 4", "drum.timpani", "F", "C2 G2"})
	assert.Equal(t, "Instrument 3", readScore(t, score).Part)
	opera := orchestra(player{"Violino I", "strings.violin", "G", "C5 G5"}, player{"Viola", "strings.viola", "C", "C4 G4"}, player{"Basso", "strings.cello", "F", "C3 G3"})
	assert.Equal(t, "Basso", readScore(t, opera).Part, "the strings' lowest line, played by a cello")
	unsaid := orchestra(player{"", "", "G", "C5 G5"}, player{"", "", "C", "C4 G4"}, player{"", "", "F", "C3 G3"}, player{"", "", "F", "E2 G2"})
	assert.Equal(t, "P4, part 4 of 4", readScore(t, unsaid).Taken, "where nothing is called anything, the lowest in the bass clef")
}

func TestTheChoirsBassIsNoneWhereThereIsAContinuo(t *testing.T) {
	score := orchestra(player{"Soprano", "voice.soprano", "G", "C5"}, player{"Bass", "voice.bass", "F", "E2 G2"}, player{"Continuo", "keyboard.harpsichord", "F", "C2 G2"})
	assert.Equal(t, "Continuo, part 3 of 3", readScore(t, score).Taken)
	alone := orchestra(player{"Soprano", "", "G", "C5"}, player{"Alto", "", "G", "C4"}, player{"Bass", "", "F", "G2"})
	assert.Equal(t, "Bass, part 3 of 3", readScore(t, alone).Taken)
}

func TestWhereTwoPartsFitItSaysHowToAskForTheOther(t *testing.T) {
	score := orchestra(player{"Violoncello", "", "F", "C2"}, player{"Continuo", "", "F", "C2"}, player{"Violone", "", "F", "C2"})
	p := readScore(t, score)
	assert.Equal(t, "Violone", p.Part)
	assert.Equal(t, "Violone, part 3 of 3; Continuo (part 2) would fit too: ask for another with --part", p.Taken)
	assert.Equal(t, "Continuo, part 2 of 3", readScore(t, score, notation.Part("2")).Taken)
	none := orchestra(player{"Flute", "", "G", "C5"}, player{"Clarinet", "", "G", "C5"})
	assert.Equal(t, "Flute, part 1 of 2; none says that it is for the double bass: ask for another with --part", readScore(t, none).Taken)
	assert.Empty(t, readScore(t, score1("Violone")).Taken, "one part leaves no choice")
}

func TestOfTwoBassesTheFirstIsTakenThoughTheSecondLiesLower(t *testing.T) {
	for _, names := range [][2]string{{"Kontrabass I", "Kontrabass II"}, {"Bass 1", "Bass 2"}} {
		score := orchestra(player{names[0], "", "F", "G2 D3"}, player{names[1], "", "F", "E2 E2"})
		assert.Equal(t, names[0], readScore(t, score).Part)
	}
}

func score1(name string) string { return orchestra(player{name, "", "F", "E2"}) }

func TestAnotherInstrumentFindsItsOwnPart(t *testing.T) {
	quartet := orchestra(player{"Violino I", "", "G", "A4"}, player{"Violino II", "", "G", "A3"}, player{"Viola", "", "C", "C4"}, player{"Violoncello", "", "F", "C2"}, player{"Contrabbasso", "", "F", "E2"})
	for word, want := range map[string]string{
		"violin": "Violino I, part 1 of 5; Violino II (part 2) would fit too: ask for another with --part",
		"viola":  "Viola, part 3 of 5", "cello": "Violoncello, part 4 of 5", "bass": "Contrabbasso, part 5 of 5", "bass-solo": "Contrabbasso, part 5 of 5",
	} {
		in, err := fingerboard.ByWord(word)
		assert.NoError(t, err)
		low, _ := in.Range()
		assert.Equal(t, want, readScore(t, quartet, notation.For(in.Name, in.Family, in.Printed, low)).Taken)
	}
}

func TestACelloPlaysTheContinuoWhereItHasNoPart(t *testing.T) {
	in, err := fingerboard.ByWord("cello")
	assert.NoError(t, err)
	low, _ := in.Range()
	forCello := notation.For(in.Name, in.Family, in.Printed, low)
	aria := orchestra(player{"Violino solo", "", "G", "A4"}, player{"Soprano", "", "G", "A4"}, player{"Continuo", "", "F", "C2 G2"})
	assert.Equal(t, "Continuo, part 3 of 3", readScore(t, aria, forCello).Taken)
	own := orchestra(player{"Continuo", "", "F", "C2 G2"}, player{"Violoncello", "", "F", "C2 G2"})
	assert.Equal(t, "Violoncello, part 2 of 2; Continuo (part 1) would fit too: ask for another with --part", readScore(t, own, forCello).Taken)
}

func TestTheFileSaysAmongWhichPartsAPlayerChooses(t *testing.T) {
	text := orchestra(player{"Violoncello", "strings.cello", "F", "C3 D3"}, player{"Contrabass 1", "strings.contrabass", "F", "E2 A2"}, player{"Contrabass 2", "", "F", "E2 G2"})
	p, err := notation.Read("score.musicxml", []byte(text))
	require.NoError(t, err)
	assert.Equal(t, []piece.Part{{Number: 1, Name: "Violoncello", For: "cello"}, {Number: 2, Name: "Contrabass 1", For: "bass", Fits: true, Taken: true},
		{Number: 3, Name: "Contrabass 2", For: "bass", Fits: true}}, p.Parts)
	p, err = notation.Read("score.musicxml", []byte(text), notation.Part("1"))
	require.NoError(t, err)
	assert.True(t, p.Parts[0].Taken)
}
