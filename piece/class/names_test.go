package class

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestANameIsFoundInWhateverAFileIsCalled(t *testing.T) {
	for file, want := range map[string]string{
		"Bass HW - Müller, Anna (2).m4a":        "Anna Müller",
		"Bass HW - Mu\u0308ller, Anna (2).m4a":  "Anna Müller", // as macOS writes it
		"Anna Müller.wav":                       "Anna Müller",
		"anna_mueller.mp3":                      "Anna Mueller",
		"anna.mueller.mp3":                      "Anna Mueller",
		"ANNA MÜLLER.WAV":                       "ANNA MÜLLER",
		"AnnaMüller.m4a":                        "Anna Müller",
		"Müller,Anna.ogg":                       "Anna Müller",
		"2026-11-20 Finn O'Leary.mp4":           "Finn O'Leary",
		"Finn O'Leary 20.11.2026.mp4":           "Finn O'Leary",
		"Finn O'Leary take 2.wav":               "Finn O'Leary",
		"Finn O'Leary - take 2.wav":             "Finn O'Leary",
		"Finn O'Leary v3 final.wav":             "Finn O'Leary",
		"Stairs to the Loft - Noor Haddad.flac": "Noor Haddad",
		"Noor Haddad - Stairs to the Loft.flac": "Noor Haddad",
		"stairs_to_the_loft_Noor Haddad.wav":    "Noor Haddad",
		"Noor_Haddad_Stairs_to_the_Loft.wav":    "Noor Haddad",
		"Period 3 - Tess van Dijk.mov":          "Tess van Dijk",
		"Tess van Dijk (1) (1).mov":             "Tess van Dijk",
		"Copy of Tess van Dijk - Copy.mov":      "Tess van Dijk",
		"Tess van Dijk.m4a.mp4":                 "Tess van Dijk",
		"[Homework] Leo Santos.mp3":             "Leo Santos",
		"recording from Leo Santos.mp3":         "Leo Santos",
		"李小龙.m4a":                               "李小龙",
		"Анна Петрова - bass.ogg":               "Анна Петрова",
		"Anne-Marie Dubois.wav":                 "Anne-Marie Dubois",
		"Ines Duarte 20261120_1830.amr":         "Ines Duarte",
		"IMG_2034 - Ben O'Neil.mov":             "Ben O'Neil",
		"voice memo 8k - Ivo.3gp":               "Ivo",
		"Finn with teacher.mp3":                 "Finn",
		"Lea & piano.flac":                      "Lea",
		"Noah backing track 2.m4a":              "Noah",
		"ada2.wav":                              "Ada",
		"bass3.amr":                             "bass3",
		"IMG_2041.mov":                          "IMG_2041",
		"PTT-20261120-WA0003.opus":              "PTT-20261120-WA0003",
		"New Recording 17.m4a":                  "New Recording 17",
		"audio (3).mp3":                         "audio (3)",
		"12345.wav":                             "12345",
		".wav":                                  ".wav",
		"evil\u202egpj.wav":                     "Evilgpj",
	} {
		assert.Equal(t, want, Clean(file, "Stairs to the Loft"), file)
	}
}

func TestARosterIsReadAsSpreadsheetsWriteIt(t *testing.T) {
	want := []Entry{{"Anna Müller", ""}, {"Ben O, Junior", "ben*.m4a"}}
	for _, text := range []string{
		"Anna Müller\n\"Ben O, Junior\",ben*.m4a\n",
		"\ufeffName;Pattern\r\nAnna Müller;\r\nBen O, Junior;ben*.m4a\r\n",
		"student\tfiles\nAnna Mu\u0308ller\t\nBen O, Junior\tben*.m4a\n\n",
		"name\n  Anna   Müller ,\n\"Ben O, Junior\", ben*.m4a",
	} {
		got, err := ReadRoster([]byte(text))
		require.NoError(t, err, "%q", text)
		assert.Equal(t, want, got, "%q", text)
	}
}

func TestARosterThatCannotBeUsedSaysWhereAndTheMend(t *testing.T) {
	for text, says := range map[string]string{
		"":                 "holds no name",
		"name\n":           "holds no name",
		"Anna\nAnna\n":     "line 2: Anna stands in it twice",
		"Anna,[a\n":        "line 1: the pattern",
		"Anna\n,x*\n":      "line 2 has a pattern and no name",
		"Anna M\xfcller\n": "save it as CSV UTF-8",
		"\ufeff<?xml version=\"1.0\"?>\n<score-partwise>\n<note>\n<note>\n": "is no roster",
		"PK\x03\x04 of a spreadsheet's own or of compressed music":          "one name on each line",
	} {
		_, err := ReadRoster([]byte(text))
		assert.ErrorContains(t, err, says, "%q", text)
	}
}

func TestNoFileIsLostAndNoneIsGivenToTwo(t *testing.T) {
	roster := []Entry{{"Anna Müller", ""}, {"Ben Okafor", "IMG_2041*"}, {"Uma Castellan", ""}, {"Anna Roth", ""}}
	files := []string{"mueller.txt.wav", "Bass - Müller, Anna (2).m4a", "anna muller take 2.mp3", "img_2041.MOV", "Anna.wav", "Zoe Farrow.ogg", "zoe_farrow.mp3", "IMG_7.mov"}
	seats := Seats(files, nil, roster, "")
	by := map[string][]string{}
	n := 0
	for _, s := range seats {
		by[s.Name] = s.Files
		n += len(s.Files)
	}
	assert.Equal(t, len(files), n)
	assert.Equal(t, []string{"Bass - Müller, Anna (2).m4a", "anna muller take 2.mp3"}, by["Anna Müller"])
	assert.Equal(t, []string{"img_2041.MOV"}, by["Ben Okafor"])
	assert.Empty(t, by["Uma Castellan"])
	assert.Contains(t, by, "Uma Castellan")
	assert.Equal(t, []string{"Zoe Farrow.ogg", "zoe_farrow.mp3"}, by["Zoe Farrow"])
	assert.Equal(t, []string{"Anna.wav"}, by["Anna"], "two on the roster are called Anna: nobody guesses which")
	assert.Equal(t, []string{"Anna Müller", "Ben Okafor", "Uma Castellan", "Anna Roth"}, []string{seats[0].Name, seats[1].Name, seats[2].Name, seats[3].Name})
}

func TestOneNameWrittenInManyWaysIsOneStudent(t *testing.T) {
	seats := Seats([]string{"Zoë_Müller (2).opus", "Zoe\u0308 Mu\u0308ller.ogg", "zoë müller 3.wav", "ZOË  MÜLLER.mp3", "ZoëMüller4.m4a"}, nil, nil, "")
	require.Len(t, seats, 1)
	assert.Len(t, seats[0].Files, 5)
	assert.Equal(t, "ZOË MÜLLER", seats[0].Name, "as the first of the files spells it")
	assert.Len(t, Seats([]string{"Ada.wav", "Ada L.wav", "Adam.wav"}, nil, nil, ""), 3, "another name may be another child")
}

func TestAFirstNameIsEnoughWhereTheRosterHasItOnce(t *testing.T) {
	roster := []Entry{{"Ada Lovell", ""}, {"Ben Okafor", ""}, {"Ben Roth", ""}}
	by := map[string]int{}
	for _, s := range Seats([]string{"ada bass hw.m4a", "Ada 2.wav", "Ben.wav", "Adam.wav"}, nil, roster, "") {
		by[s.Name] = len(s.Files)
	}
	assert.Equal(t, map[string]int{"Ada Lovell": 2, "Ben Okafor": 0, "Ben Roth": 0, "Ben": 1, "Adam": 1}, by)
}
