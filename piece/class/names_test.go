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
		"Devoir de Lea Martin.m4a":              "Lea Martin",
		"Lea Martin Übung 3.m4a":                "Lea Martin",
		"Tarea de Maria de la Cruz.m4a":         "Maria de la Cruz",
		"李小龙作业.m4a":                             "李小龙",
		"12345.wav":                             "12345",
		".wav":                                  ".wav",
		"evil\u202egpj.wav":                     "Evilgpj",
	} {
		assert.Equal(t, want, Clean(file, "Stairs to the Loft"), file)
	}
}

func TestARosterIsReadAsSpreadsheetsWriteIt(t *testing.T) {
	want := []Entry{{Name: "Anna Müller"}, {Name: "Ben O, Junior", Pattern: "ben*.m4a"}}
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

func TestARosterNamesTheLanguageOfWhatGoesHome(t *testing.T) {
	for _, text := range []string{
		"Name;Datei;Sprache\r\nAda;a*.wav;en\r\nBen;;\r\n",
		"Ada's class,language,files\nAda,English,a*.wav\nBen,\n",
		"nom\tfichiers\tgroupe\tLangue\nAda\ta*.wav\t5b\ten-GB\nBen\n",
	} {
		got, err := ReadRoster([]byte(text))
		require.NoError(t, err, "%q", text)
		assert.Equal(t, []Entry{{Name: "Ada", Pattern: "a*.wav", Language: "en"}, {Name: "Ben"}}, got, "%q", text)
		assert.Equal(t, "en", LanguageOf(got, "ADA"))
		assert.Empty(t, LanguageOf(got, "Ben"))
		assert.Empty(t, LanguageOf(nil, "Ada"))
	}
	got, err := ReadRoster([]byte("Ada,a*.wav,5b\nBen\n"))
	require.NoError(t, err)
	assert.Equal(t, []Entry{{Name: "Ada", Pattern: "a*.wav"}, {Name: "Ben"}}, got, "a column without a heading is none")
}

func TestARosterThatCannotBeUsedSaysWhereAndTheMend(t *testing.T) {
	for text, says := range map[string]string{
		"":                                    "holds no name",
		"name\n":                              "holds no name",
		"Anna\nAnna\n":                        "line 2: Anna stands in it twice",
		"Anna,[a\n":                           "line 1: the pattern",
		"name,language\nAnna,en\nBen,klingon": `line 3: there is no language "klingon" here; there are en`,
		"Anna\n,x*\n":                         "line 2 has a pattern and no name",
		"Anna M\xfcller\n":                    "save it as CSV UTF-8",
		"\ufeff<?xml version=\"1.0\"?>\n<score-partwise>\n<note>\n<note>\n": "is no roster",
		"PK\x03\x04 of a spreadsheet's own or of compressed music":          "one name on each line",
	} {
		_, err := ReadRoster([]byte(text))
		assert.ErrorContains(t, err, says, "%q", text)
	}
}

func TestNoFileIsLostAndNoneIsGivenToTwo(t *testing.T) {
	roster := []Entry{{Name: "Anna Müller"}, {Name: "Ben Okafor", Pattern: "IMG_2041*"}, {Name: "Uma Castellan"}, {Name: "Anna Roth"}}
	files := []string{"mueller 2.wav", "Bass - Müller, Anna (2).m4a", "anna muller take 2.mp3", "img_2041.MOV", "Anna.wav", "Zoe Farrow.ogg", "Uma Castelan.mp3", "IMG_7.mov"}
	seats, asked := Seats(files, nil, roster, "")
	by, perhaps := map[string][]string{}, map[string][]string{}
	for _, s := range seats {
		by[s.Name] = s.Files
	}
	for _, q := range asked {
		perhaps[q.File] = q.Perhaps
		assert.Equal(t, []string{"Uma Castellan", "Anna Roth"}, q.Missing)
	}
	assert.Equal(t, map[string][]string{"Anna Müller": {"Bass - Müller, Anna (2).m4a", "anna muller take 2.mp3", "mueller 2.wav"},
		"Ben Okafor": {"img_2041.MOV"}, "Uma Castellan": nil, "Anna Roth": nil}, by)
	assert.Equal(t, map[string][]string{"Anna.wav": {"Anna Müller", "Anna Roth"}, "Zoe Farrow.ogg": {}, "Uma Castelan.mp3": {"Uma Castellan"}, "IMG_7.mov": {}},
		perhaps, "nobody is made up while somebody is missing, and nobody guesses")
	seats, asked = Seats([]string{"Uma Castellan.wav", "Zoe Farrow.ogg", "zoe_farrow.mp3"}, nil, roster[2:3], "")
	assert.Empty(t, asked)
	assert.Equal(t, []Seat{{"Uma Castellan", []string{"Uma Castellan.wav"}}, {"Zoe Farrow", []string{"Zoe Farrow.ogg", "zoe_farrow.mp3"}}}, seats, "who came along, where all are there")
}

// A class of many languages, and the ways in which its files are called.
var class30 = []Entry{{Name: "Anna Müller"}, {Name: "Ana Muñoz García"}, {Name: "Zoë van Dijk"}, {Name: "Finn O'Leary"}, {Name: "Łukasz Wójcik"}, {Name: "Anne-Marie Dubois"}, {Name: "Anne Dubois"},
	{Name: "Анна Петрова"}, {Name: "Νίκος Παππάς"}, {Name: "李小龙"}, {Name: "김민준"}, {Name: "佐藤 美咲"}, {Name: "นภา สุขใจ"}, {Name: "אורי לוי"}, {Name: "محمد علي"}, {Name: "मीरा शर्मा"},
	{Name: "İrem Yılmaz"}, {Name: "Søren Ørsted"}, {Name: "Mai Nguyễn"}, {Name: "Tom Bass"}, {Name: "Ben Okafor"}, {Name: "Ben Roth"}, {Name: "Maria de la Cruz"}, {Name: "Ed Li"}}

func TestARecordingFindsItsStudentHoweverItIsCalled(t *testing.T) {
	for student, files := range map[string][]string{
		"Anna Müller": {"Devoir de Anna Müller.m4a", "tarea Anna Müller.m4a", "Anna Müller Übung 3.m4a", "Anna Müller Woche 2.ogg", "Etude Anna Müller take2.wav",
			"Anna Müller_violoncelle_lecon2.mp3", "anna müller hausaufgabe.m4a", "anna_mueller-week-3-final.m4a", "MÜLLER_ANNA.3gp", "amueller bass hw.amr",
			"AnnaMueller_2026-11-20.m4a", "20.11.2026 Anna Muller (1).m4a", "Anna Müllers Übung.opus", "muelleranna3.wav", "Müller, A. - Hausaufgabe.mp3",
			"WhatsApp Audio 2026-11-20 at 18.30.11 Anna Müller.ogg", "anna.mueller@schule 2.m4a", "A_Müller-Stairs to the Loft.m4a"},
		"Ana Muñoz García":  {"Tarea de Ana Muñoz.m4a", "munoz garcia ana deberes.mp3", "ANA MUNOZ.wav", "ana semana 3.m4a"},
		"Zoë van Dijk":      {"zoe van dijk opname.mp3", "Zoe_vanDijk_huiswerk.m4a", "VanDijk Zoë week47.m4a", "Zoë.wav", "zoe les 4.m4a"},
		"Finn O'Leary":      {"Finn OLeary hw.m4a", "o'leary finn.wav", "Finn's homework 2.m4a", "Duett Finn.wav", "finn o’leary.mp3"},
		"Łukasz Wójcik":     {"zadanie domowe Lukasz Wojcik.m4a", "wojcik_lukasz_cwiczenie.mp3"},
		"Anne-Marie Dubois": {"annemarie dubois devoir.m4a", "Anne Marie Dubois leçon 2.m4a"},
		"Anne Dubois":       {"Dubois Anne exercice.m4a"},
		"Анна Петрова":      {"Домашнее задание Анна Петрова.ogg", "Anna Petrova dz.ogg", "петрова анна урок 2.m4a"},
		"Νίκος Παππάς":      {"Εργασία Νικος Παππας.m4a", "Nikos Pappas.mp3"},
		"李小龙":               {"作业李小龙第二课.m4a", "李小龙 练习3.mp3"},
		"김민준":               {"김민준의 숙제.m4a", "숙제_김민준_3주차.m4a"},
		"佐藤 美咲":             {"佐藤美咲さん宿題.m4a", "宿題 佐藤　美咲.mp3"},
		"นภา สุขใจ":         {"การบ้านนภาสุขใจ.m4a"},
		"אורי לוי":          {"שיעורי בית אורי לוי.m4a"},
		"محمد علي":          {"واجب محمد علي.m4a", "مُحمَّد علي درس 2.m4a"},
		"मीरा शर्मा":        {"गृहकार्य मीरा शर्मा.m4a"},
		"İrem Yılmaz":       {"İrem'in ödevi.m4a", "irem yilmaz odev 2.mp3"},
		"Søren Ørsted":      {"soeren oersted lektie.m4a", "Soren Orsted.wav"},
		"Mai Nguyễn":        {"Mai Nguyen Übung.m4a", "Nguyễn Mai.mp3"},
		"Tom Bass":          {"Tom Bass bass.m4a", "Tom homework.wav"},
		"Ben Okafor":        {"Ben O.m4a", "benokafor.wav", "okafor tempo lent.mp3"},
		"Maria de la Cruz":  {"Maria de la Cruz tarea.m4a", "Tarea Maria.m4a", "cruz_maria.wav"},
		"Ed Li":             {"Ed Li.m4a", "li ed hw.wav"},
	} {
		for _, f := range files {
			seats, asked := Seats([]string{f}, nil, class30, "Stairs to the Loft")
			assert.Empty(t, asked, f)
			for _, s := range seats {
				if len(s.Files) > 0 {
					assert.Equal(t, student, s.Name, f)
				}
			}
		}
	}
}

func TestWhatIsNotKnownIsAsked(t *testing.T) {
	for f, perhaps := range map[string][]string{
		"Ben.wav":                      {"Ben Okafor", "Ben Roth"},
		"Anna.m4a":                     {"Anna Müller", "Анна Петрова"},
		"Zoë Schmidt.m4a":              {"Zoë van Dijk"},
		"finn smith.wav":               {"Finn O'Leary"},
		"Anna Müller and Ben Roth.wav": {"Anna Müller", "Ben Roth"},
		"bass hw 3.m4a":                {},
		"Devoir de la semaine.m4a":     {},
		"IMG_2041.mov":                 {},
		"Lukas Wojzik.m4a":             {"Łukasz Wójcik"},
		"New Recording 17.m4a":         {},
		"Kari Nordmann.mp3":            {},
		"Zoë K.m4a":                    {"Zoë van Dijk"},
		"evil\u202egpj.wav":            {},
	} {
		seats, asked := Seats([]string{f}, nil, class30, "Stairs to the Loft")
		assert.Len(t, seats, len(class30), f)
		if assert.Len(t, asked, 1, f) {
			for _, name := range perhaps {
				assert.Contains(t, asked[0].Perhaps, name, f)
			}
			assert.Equal(t, len(perhaps) == 0, len(asked[0].Perhaps) == 0, "%s: %v", f, asked[0].Perhaps)
		}
	}
}

func TestWhereNobodyIsMissingANewNameIsANewStudentAndANumberIsNobody(t *testing.T) {
	files := []string{"IMG_2041.mov", "Petra Novak.m4a", "hw 3.m4a"}
	roster := class30[:3]
	for _, e := range roster {
		files = append(files, e.Name+".wav")
	}
	seats, asked := Seats(files, nil, roster)
	require.Len(t, seats, 4)
	assert.Equal(t, "Petra Novak", seats[3].Name)
	require.Len(t, asked, 2)
	assert.Equal(t, "Whose is IMG_2041.mov? Nobody on the roster is named in it. Rename it, or write into the roster: name,IMG_2041.mov", asked[0].Text())
	asked[0].Comma = ';'
	assert.Contains(t, asked[0].Text(), "name;IMG_2041.mov", "as the roster separates its cells")
}

func TestAFileThatNamesSomebodyElseIsProposedToNobodyOnTheRoster(t *testing.T) {
	_, asked := Seats([]string{"Chloé 2026-11-26.wav", "Greta.wav"}, nil, class30[:2], "Stairs to the Loft")
	require.Len(t, asked, 2)
	assert.Contains(t, asked[0].Text(), "write into the roster: Chloé,Chloé 2026-11-26.wav")
	assert.Contains(t, asked[1].Text(), "write into the roster: Greta,Greta.wav")
}

func TestWhoseRecordingIsAskedAboutIsNotSaidToHaveSentNone(t *testing.T) {
	s := &Sheet{Students: []Student{{Name: "Ben Koch", Status: Missing}, {Name: "Ida", Status: Missing}}}
	s.Ask([]Question{{File: "ben_sharp.wav", Perhaps: []string{"Ben Koch"}}})
	assert.Equal(t, "no recording that is surely this student’s; perhaps ben_sharp.wav", s.Students[0].Reason)
	assert.Empty(t, s.Students[1].Reason)
}

func TestAWordThatStandsBesideManyNamesIsNobodys(t *testing.T) {
	files := []string{"Zoë Kodutöö.m4a", "Finn Kodutöö.m4a", "Maria Kodutöö.m4a", "Kodutöö Tom.m4a"}
	seats, asked := Seats(files, nil, class30)
	assert.Empty(t, asked)
	n := 0
	for _, s := range seats {
		n += len(s.Files)
	}
	assert.Equal(t, 4, n, "homework in a language that nobody told us")
}

func TestOneNameWrittenInManyWaysIsOneStudent(t *testing.T) {
	seats, _ := Seats([]string{"Zoë_Müller (2).opus", "Zoe\u0308 Mu\u0308ller.ogg", "zoë müller 3.wav", "ZOË  MÜLLER.mp3", "ZoëMüller4.m4a"}, nil, nil, "")
	require.Len(t, seats, 1)
	assert.Len(t, seats[0].Files, 5)
	assert.Equal(t, "ZOË MÜLLER", seats[0].Name, "as the first of the files spells it")
	seats, _ = Seats([]string{"Ada.wav", "Ada L.wav", "Adam.wav"}, nil, nil, "")
	assert.Len(t, seats, 3, "another name may be another child")
}

func TestAFirstNameIsEnoughWhereTheRosterHasItOnce(t *testing.T) {
	roster := []Entry{{Name: "Ada Lovell"}, {Name: "Ben Okafor"}, {Name: "Ben Roth"}}
	by := map[string]int{}
	seats, asked := Seats([]string{"ada bass hw.m4a", "Ada 2.wav", "Ben.wav", "Adam.wav"}, nil, roster, "")
	for _, s := range seats {
		by[s.Name] = len(s.Files)
	}
	assert.Equal(t, map[string]int{"Ada Lovell": 2, "Ben Okafor": 0, "Ben Roth": 0}, by)
	assert.Len(t, asked, 2)
}
