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
	Name    string
	Pattern string // of file names, as in "anna*.m4a"; "" to go by the name
}

// ReadRoster reads a roster: CSV with a name in the first column and perhaps a
// pattern of file names in the second, separated by commas, semicolons or tabs as
// spreadsheets write it, with or without a line of headings. The error is one line.
func ReadRoster(data []byte) ([]Entry, error) {
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	if start := bytes.TrimSpace(data); bytes.HasPrefix(start, []byte("<")) || bytes.HasPrefix(start, []byte("PK\x03\x04")) {
		return nil, words.Fault("class.roster.other")
	}
	if !utf8.Valid(data) {
		return nil, words.Fault("class.roster.utf-8")
	}
	r := csv.NewReader(bytes.NewReader(data))
	r.Comma, r.FieldsPerRecord, r.LazyQuotes, r.TrimLeadingSpace = separator(data), -1, true, true
	var all []Entry
	seen := map[string]bool{}
	for line := 1; ; line++ {
		row, err := r.Read()
		if err == io.EOF {
			break
		}
		if err != nil {
			return nil, words.Fault("class.roster.csv", "err", err)
		}
		e := Entry{Name: outside.Line(norm.NFC.String(row[0]))}
		if len(row) > 1 {
			e.Pattern = strings.TrimSpace(norm.NFC.String(row[1]))
		}
		if line == 1 && slices.Contains(headings, strings.ToLower(e.Name)) || e.Name == "" && e.Pattern == "" {
			continue
		}
		at, _ := r.FieldPos(0)
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

var headings = []string{"name", "names", "student", "students", "student name", "full name", "pupil"}

// separator is what stands most often in the first line, outside quotes.
func separator(data []byte) rune {
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
// pattern names, else to whom on the roster the file's name holds, else to a student named
// as the file is. Students of the roster come first, with or without files, then the
// others by name. No file is left out, and none is given to two.
func Seats(files []string, by map[string]string, roster []Entry, piece string) []Seat {
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
	for _, f := range files {
		name, says := Clean(f, piece), f
		if player := by[f]; player != "" {
			name, says = player, player
		}
		if e := entryOf(says, name, roster); e != nil {
			name = e.Name
		}
		s := seat(name)
		s.Files = append(s.Files, f)
	}
	slices.SortStableFunc(seats[listed:], func(a, b Seat) int { return strings.Compare(key(a.Name), key(b.Name)) })
	return seats
}

// entryOf is the one entry that a file belongs to: by pattern; else the one whose
// words all stand in the file's name; else the only one of whose words the file's name
// is made. Where two fit equally, the file's own name has to do.
func entryOf(file, cleaned string, roster []Entry) *Entry {
	for i := range roster {
		pattern := strings.ToLower(roster[i].Pattern)
		if ok, _ := path.Match(pattern, strings.ToLower(norm.NFC.String(file))); ok && pattern != "" {
			return &roster[i]
		}
	}
	parts := func(s string) []string {
		return strings.FieldsFunc(strings.ToLower(norm.NFC.String(s)), func(r rune) bool { return letters(string(r)) == 0 })
	}
	has := map[string]bool{}
	for _, w := range append(parts(strings.TrimSuffix(file, path.Ext(file))), parts(cleaned)...) {
		has[key(w)] = true
	}
	var found *Entry
	best, equal := 0, false
	for i := range roster {
		all := parts(roster[i].Name)
		if len(all) == 0 || slices.ContainsFunc(all, func(w string) bool { return !has[key(w)] }) {
			continue
		}
		switch {
		case len(all) > best:
			found, best, equal = &roster[i], len(all), false
		case len(all) == best && key(found.Name) != key(roster[i].Name):
			equal = true
		}
	}
	switch {
	case equal:
		return nil
	case found != nil:
		return found
	}
	return onlyOne(parts(cleaned), roster, parts)
}

// onlyOne is the one entry that holds all words of a file's name, as a file named by
// the first name alone; nil where two do, or none.
func onlyOne(name []string, roster []Entry, parts func(string) []string) (found *Entry) {
	if len(name) == 0 {
		return nil
	}
	for i := range roster {
		has := map[string]bool{}
		for _, w := range parts(roster[i].Name) {
			has[key(w)] = true
		}
		switch {
		case slices.ContainsFunc(name, func(w string) bool { return !has[key(w)] }):
		case found != nil && key(found.Name) != key(roster[i].Name):
			return nil
		default:
			found = &roster[i]
		}
	}
	return found
}
