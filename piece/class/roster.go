package class

import (
	"bytes"
	"encoding/csv"
	"io"
	"path"
	"slices"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"

	"endpin/piece/outside"
	"endpin/piece/words"
)

// Entry is one student of a roster.
type Entry struct {
	Name     string
	Pattern  string // of file names, as in "anna*.m4a"; "" to go by the name
	Language string // of what goes home, by its tag; "" for the teacher's
}

// ReadRoster reads a roster: CSV with a name in the first column and perhaps a
// pattern of file names in the second, separated by commas, semicolons or tabs as
// spreadsheets write it, with or without a line of headings. A column whose heading says
// so has the language of what goes home. The error is one line.
func ReadRoster(data []byte) ([]Entry, error) {
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	if start := bytes.TrimSpace(data); bytes.HasPrefix(start, []byte("<")) || bytes.HasPrefix(start, []byte("PK\x03\x04")) {
		return nil, words.Fault("class.roster.other")
	}
	if !utf8.Valid(data) {
		return nil, words.Fault("class.roster.utf-8")
	}
	r := csv.NewReader(bytes.NewReader(data))
	r.Comma, r.FieldsPerRecord, r.LazyQuotes, r.TrimLeadingSpace = Separator(data), -1, true, true
	var all []Entry
	seen := map[string]bool{}
	pattern, language := 1, -1 // columns
	for line := 1; ; line++ {
		row, err := r.Read()
		if err == io.EOF {
			break
		}
		if err != nil {
			return nil, words.Fault("class.roster.csv", "err", err)
		}
		cell := func(column int) string {
			if column < 0 || column >= len(row) {
				return ""
			}
			return strings.TrimSpace(norm.NFC.String(row[column]))
		}
		if line == 1 {
			if language = slices.IndexFunc(row, func(c string) bool { return heads(c, languageHeadings) }); language == 1 {
				pattern = 2
			}
		}
		e := Entry{Name: outside.Line(cell(0)), Pattern: cell(pattern)}
		if line == 1 && (language >= 0 || heads(e.Name, headings)) || e.Name == "" && e.Pattern == "" {
			continue
		}
		at, _ := r.FieldPos(0)
		if e.Language, err = languageOf(cell(language), at); err != nil {
			return nil, err
		}
		if e.Name == "" {
			return nil, words.Fault("class.roster.nameless", "line", at)
		}
		if _, err := path.Match(e.Pattern, ""); err != nil {
			return nil, words.Fault("class.roster.pattern", "line", at, "pattern", words.Quoted(e.Pattern))
		}
		if seen[key(e.Name)+"\x00"+e.Pattern] {
			return nil, words.Fault("class.roster.twice", "line", at, "name", e.Name)
		}
		seen[key(e.Name)+"\x00"+e.Pattern] = true
		all = append(all, e)
	}
	if len(all) == 0 {
		return nil, words.Fault("class.roster.empty")
	}
	return all, nil
}

// What stands over a column of names, and over one of languages.
var (
	headings         = []string{"name", "names", "student", "students", "student name", "full name", "pupil", "schüler", "schülerin", "schüler/in", "nom", "élève", "prénom", "nombre", "alumno", "alumna", "estudiante"}
	languageHeadings = []string{"language", "sprache", "langue", "idioma", "lengua"}
)

func heads(cell string, of []string) bool {
	return slices.Contains(of, strings.ToLower(strings.TrimSpace(norm.NFC.String(cell))))
}

// languageOf is the tag of a language that a cell names by a tag or as it calls itself;
// "" for none.
func languageOf(cell string, line int) (string, error) {
	if cell == "" {
		return "", nil
	}
	for _, tag := range words.Languages() {
		if w, _ := words.Best(tag); strings.EqualFold(w.Say("window.settings.language.name"), cell) {
			return tag, nil
		}
	}
	if w, is := words.Best(cell); is {
		return w.Tag(), nil
	}
	return "", words.Fault("class.roster.language", "line", line, "typed", words.Quoted(cell), "tags", words.Row(words.Languages()...))
}

// LanguageOf is that of what goes home to a student; "" for the teacher's.
func LanguageOf(roster []Entry, name string) string {
	for _, e := range roster {
		if key(e.Name) == key(name) && e.Language != "" {
			return e.Language
		}
	}
	return ""
}

// Separator is what parts the cells of a roster: what stands most often in the first line, outside quotes.
func Separator(data []byte) rune {
	line, _, _ := bytes.Cut(data, []byte("\n"))
	best, most := ',', 0
	for _, c := range ",;\t" {
		n, quoted := 0, false
		for _, b := range string(line) {
			switch {
			case b == '"':
				quoted = !quoted
			case b == c && !quoted:
				n++
			}
		}
		if n > most {
			best, most = c, n
		}
	}
	return best
}

// Seat is one student with the recordings that are his or hers.
type Seat struct {
	Name  string
	Files []string
}

// Seats gives every file to a student: to the player whom it was handed in by, as by tells
// of the files that say so, by the roster's spelling of the name; else to whom the roster's
// pattern names, else to whom on the roster the file's name names, else to a student named as the
// file is, as long as nobody on the roster can be meant. Of whom nobody knows whose it is, that is asked. Students of
// the roster come first, with or without files, then the others by name. No file is left
// out, and none is given to two. pieces are titles that may stand in a file's name.
func Seats(files []string, by map[string]string, roster []Entry, pieces ...string) ([]Seat, []Question) {
	files = slices.Clone(files)
	slices.Sort(files)
	var seats []Seat
	byName := map[string]int{}
	seat := func(name string) *Seat {
		k := key(name)
		if k == "" { // signs alone
			k = name
		}
		i, ok := byName[k]
		if !ok {
			i = len(seats)
			byName[k] = i
			seats = append(seats, Seat{Name: name})
		}
		return &seats[i]
	}
	for _, e := range roster {
		seat(e.Name)
	}
	listed := len(seats)
	common := commonWords(files, roster)
	for _, p := range pieces {
		for _, w := range together.FindAllString(p, -1) {
			common[key(w)] = true
		}
	}
	var open []Question
	for _, f := range files {
		says, player := f, by[f]
		if player != "" {
			says = player
		}
		e, perhaps, unplaced := whose(says, roster, common)
		if e == nil && player != "" && len(perhaps) == 0 { // who says so is here
			e = &Entry{Name: player}
		}
		if e == nil {
			open = append(open, Question{File: f, Perhaps: append([]string{}, perhaps...), Unplaced: append([]string{}, unplaced...)})
			continue
		}
		s := seat(e.Name)
		s.Files = append(s.Files, f)
	}
	missing := []string{}
	for i := range seats {
		if len(seats[i].Files) == 0 {
			missing = append(missing, seats[i].Name)
		}
	}
	asked := []Question{}
	for _, q := range open {
		if len(missing) > 0 || len(q.Perhaps) > 0 || len(roster) > 0 && len(q.Unplaced) == 0 { // IMG_9999 is nobody
			q.Missing = missing
			asked = append(asked, q)
			continue
		}
		s := seat(Clean(q.File, pieces...))
		s.Files = append(s.Files, q.File)
	}
	slices.SortStableFunc(seats[listed:], func(a, b Seat) int { return strings.Compare(key(a.Name), key(b.Name)) })
	return seats, asked
}
