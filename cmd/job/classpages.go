package job

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"unicode"

	"endpin/piece"
	"endpin/piece/class"
	"endpin/piece/report"
	"endpin/piece/words"
)

// The sheet's own files in the folder that a class is written into.
const (
	ClassSheet = "class.html"
	ClassTable = "class.csv"
	classKept  = "kept"
)

// Into sets a class up to be written into a folder: what was heard is kept
// there, and nothing that it is made from may lie where a page will. A roster
// is read where one is named. The error is one line.
func (c *Class) Into(out, rosterFile string) error {
	for _, in := range []string{c.PieceFile, rosterFile} {
		for _, page := range []string{ClassTable, ClassSheet} {
			if sameFile(filepath.Join(out, page), in) {
				return words.Fault("job.class.over-sheet", "file", in)
			}
		}
	}
	if sameFile(out, c.Folder) {
		return words.Fault("job.class.same-folder", "folder", out)
	}
	c.Keep = filepath.Join(out, classKept)
	other := writtenBefore(filepath.Join(c.Keep, pagesKept))[pieceKept]
	if other != "" && other != pieceOf(c) && (c.Outputs == nil || !c.Outputs.Replace) {
		return words.Fault("job.class.other-piece", "folder", out)
	}
	if rosterFile == "" {
		return nil
	}
	data, err := os.ReadFile(rosterFile)
	if err != nil {
		return OfFile(rosterFile, Cause(err))
	}
	c.NotThese = []string{rosterFile}
	if c.Roster, err = class.ReadRoster(data); err != nil {
		return OfFile(rosterFile, err)
	}
	return nil
}

func sameFile(a, b string) bool {
	x, errX := os.Stat(a)
	y, errY := os.Stat(b)
	return errX == nil && errY == nil && os.SameFile(x, y)
}

// WriteClass writes the class sheet, class.csv and a page for each student who
// was heard into a folder, which is made where it is not there, and tells where the sheet
// lies. Only their owner may read them.
func WriteClass(out string, c *Class, s *class.Sheet, played map[string]Played) (sheet string, err error) {
	if err := os.MkdirAll(out, 0o700); err != nil {
		return "", words.Fault("job.cannot-be-made", "folder", out, "err", Cause(err))
	}
	to := c.Outputs
	if to == nil {
		to = &Outputs{}
	}
	if c.Keep != "" {
		to.known = writtenBefore(filepath.Join(c.Keep, pagesKept))
	}
	pages := pageNames(s)
	for i := range s.Students { // in their order
		if name, heard := pages[s.Students[i].Name]; heard {
			pages[s.Students[i].Name] = filepath.Base(to.free(filepath.Join(out, name)))
		}
	}
	for i := range s.Students {
		st := &s.Students[i]
		if st.Hearing == nil {
			continue
		}
		moments := map[int][]byte{}
		for _, m := range played[*st.Recording].Moments {
			moments[m.Finding] = m.WAV
		}
		err := WriteFile(filepath.Join(out, pages[st.Name]), signed(func(w io.Writer) error {
			return report.StudentHTML(w, c.Piece, s.Piece, st, moments)
		}))
		if err != nil {
			return "", err
		}
	}
	table, err := writeTable(out, c, to, s)
	if err != nil {
		return "", err
	}
	sheet, err = to.Sign(filepath.Join(out, ClassSheet), func(w io.Writer) error {
		return report.ClassHTML(w, c.Piece, s, func(name string) string { return pages[name] })
	})
	if err == nil && c.Keep != "" {
		forgetPages(out, c, pages, []string{filepath.Base(table), filepath.Base(sheet)}, s)
	}
	return sheet, err
}

// writeTable writes class.csv, which nothing in itself tells to be Endpin's: before it is
// written the list has it as it was and as it will be, whenever the program is cut off.
func writeTable(out string, c *Class, to *Outputs, s *class.Sheet) (table string, err error) {
	var text bytes.Buffer
	if err := report.ClassCSV(&text, s); err != nil {
		return "", err
	}
	table = to.free(filepath.Join(out, ClassTable))
	if c.Keep != "" {
		if err := os.MkdirAll(c.Keep, 0o700); err != nil {
			return "", words.Fault("job.cannot-be-made", "folder", c.Keep, "err", Cause(err))
		}
		list := filepath.Join(c.Keep, pagesKept)
		before := writtenBefore(list)
		before[filepath.Base(table)] += " " + digest(text.Bytes())
		if err := WriteFile(list, func(w io.Writer) error { return WriteJSON(w, before) }); err != nil {
			return "", err
		}
	}
	return table, WriteFile(table, func(w io.Writer) error { _, err := w.Write(text.Bytes()); return err })
}

// pagesKept lists what a run wrote into a class's folder with what each file held, and
// by pieceKept, which is no file's name, of which piece it tells.
const (
	pagesKept = "pages.json"
	pieceKept = "/piece"
)

func writtenBefore(list string) map[string]string {
	before := map[string]string{}
	if data, err := os.ReadFile(list); err == nil {
		_ = json.Unmarshal(data, &before)
	}
	return before
}

func pieceOf(c *Class) string {
	line, _ := c.Piece.Line()
	return piece.Content(line)
}

// forgetPages takes away the pages of an earlier run that the sheet no longer
// leads to, as of a student whom a roster has named since: each holds a child's
// sound. A page that somebody has changed stays, and so do all while a class has
// not been heard to its end.
func forgetPages(out string, c *Class, pages map[string]string, sheets []string, s *class.Sheet) {
	holds := func(name string) string {
		data, err := os.ReadFile(filepath.Join(out, name))
		if err != nil {
			return ""
		}
		return digest(data)
	}
	list := filepath.Join(c.Keep, pagesKept)
	now, before := map[string]string{pieceKept: pieceOf(c)}, writtenBefore(list)
	for _, name := range pages {
		now[name] = holds(name)
	}
	for _, name := range sheets {
		now[name] = holds(name)
	}
	whole := true
	for i := range s.Students {
		for _, t := range s.Students[i].Takes {
			whole = whole && !t.NotYet
		}
	}
	for name, was := range before {
		if _, stands := now[name]; stands || filepath.Base(name) != name {
			continue
		}
		if whole && holds(name) == was && !slices.Contains([]string{ClassTable, ClassSheet}, name) {
			_ = os.Remove(filepath.Join(out, name))
		} else if !whole {
			now[name] = was
		}
	}
	_ = WriteFile(list, func(w io.Writer) error { return WriteJSON(w, now) })
}

// pageNames gives each student who was heard a file of his or her own, named as
// the student is as far as every system allows it.
func pageNames(s *class.Sheet) map[string]string {
	pages, taken := map[string]string{}, map[string]bool{"class": true, "con": true, "prn": true, "aux": true, "nul": true}
	for i := range s.Students {
		if s.Students[i].Hearing == nil {
			continue
		}
		safe := strings.Map(func(r rune) rune {
			switch {
			case unicode.IsLetter(r), unicode.IsDigit(r), unicode.IsMark(r), r == '-', r == '\'':
				return r
			}
			return ' '
		}, s.Students[i].Name)
		base := strings.Join(strings.Fields(safe), " ")
		for len(base) > longestName {
			r := []rune(base)
			base = strings.TrimSpace(string(r[:len(r)-1]))
		}
		if base == "" {
			base = "student"
		}
		name := base
		for n := 2; taken[strings.ToLower(name)]; n++ {
			name = fmt.Sprintf("%s %d", base, n)
		}
		taken[strings.ToLower(name)] = true
		pages[s.Students[i].Name] = name + ".html"
	}
	return pages
}

// longestName is how long a file's name may be, bytes: less than any system's 255.
const longestName = 120

// NobodyHeard says why there is nothing to tell of a whole class.
func NobodyHeard(folder string, s *class.Sheet) error {
	for i := range s.Students {
		for _, t := range s.Students[i].Takes {
			return words.Fault("job.class.nobody", "folder", folder, "recording", t.Recording, "reason", t.Reason)
		}
	}
	return words.Fault("job.class.nobody.empty", "folder", folder)
}
