package classes

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"unicode"

	"endpin/cmd/job"
	"endpin/piece"
	"endpin/piece/class"
	"endpin/piece/report/sheets"
	"endpin/piece/words"
)

// The sheet's own files in the folder that a class is written into.
const (
	SheetName  = "class.html"
	TableName  = "class.csv"
	classKept  = "kept"
	classWeeks = "weeks.html" // of one piece; of several it is the sheet
	nameless   = " without names.html"
)

// Into sets a class up to be written into a folder: what was heard is kept
// there, and nothing that it is made from may lie where a page will. A roster
// is read where one is named. The error is one line.
func (c *Class) Into(out, rosterFile string) error {
	read := []string{rosterFile}
	for _, p := range c.Pieces {
		read = append(read, p.File)
	}
	for _, in := range read {
		for _, page := range []string{TableName, SheetName} {
			if job.SameFile(filepath.Join(out, page), in) {
				return words.Fault("job.class.over-sheet", "file", in)
			}
		}
	}
	if job.SameFile(out, c.Folder) {
		return words.Fault("job.class.same-folder", "folder", out)
	}
	c.Keep = filepath.Join(out, classKept)
	other := writtenBefore(filepath.Join(c.Keep, pagesKept))[pieceKept]
	if weeks, err := WeeksIn(out); err != nil {
		return err
	} else if weeks.Keep {
		other = "" // one piece this week, another the next
	}
	if other != "" && other != pieceOf(c) && (c.Outputs == nil || !c.Outputs.Replace) {
		return words.Fault("job.class.other-piece", "folder", out)
	}
	if rosterFile == "" {
		return nil
	}
	data, err := os.ReadFile(rosterFile)
	if err != nil {
		return job.OfFile(rosterFile, job.Cause(err))
	}
	c.NotThese = []string{rosterFile}
	if c.Roster, err = class.ReadRoster(data); err != nil {
		return job.OfFile(rosterFile, err)
	}
	c.Comma = class.Separator(data)
	return nil
}

// Pages is how a class's pages are written, beside what was heard.
type Pages struct {
	Remarks *class.Remarks  // what the teacher added; nil for what is kept in the folder
	Term    *class.Term     // the weeks; nil where they are not told
	Paper   string          // "A4" or "Letter", for what is printed from now on; "" for as before
	Alone   func(do func()) // does what must be alone in what it says, in another language for a moment; nil where nobody else speaks
}

// Written is where the pages of a class lie.
type Written struct {
	Sheet   string
	Weeks   string // "" where the sheet tells of them, or nothing does
	Home    string // the folder of pages that may go home; "" where none may
	Homes   int    // how many
	Waiting int    // how many were not seen yet
	Print   error  // why they were not printed
}

// classWriting is the writing of a class's pages.
type classWriting struct {
	*Class
	Pages
	out   string
	to    *job.Outputs
	heard *Heard
	pages []class.Page
	names map[string]string // of the pages' files, by student
	other []string          // what else was written
}

// Write writes into a folder, which is made where it is not there: the class sheet, and of
// several pieces one each; the same without names; class.csv; a page for each student who was
// heard; and of those whose page the teacher has seen what goes home. Only their owner may read them.
func Write(ctx context.Context, out string, c *Class, heard *Heard, how Pages) (done Written, err error) {
	if err := os.MkdirAll(out, 0o700); err != nil {
		return done, words.Fault("job.cannot-be-made", "folder", out, "err", job.Cause(err))
	}
	if how.Remarks == nil {
		if how.Remarks, err = RemarksIn(out); err != nil {
			return done, err
		}
	}
	if how.Paper != "" {
		how.Remarks.Paper = how.Paper
	}
	w := &classWriting{Class: c, Pages: how, out: out, to: c.Outputs, heard: heard}
	if w.to == nil {
		w.to = &job.Outputs{}
	}
	if c.Keep != "" {
		w.to.Knows(writtenBefore(filepath.Join(c.Keep, pagesKept)))
	}
	var pieces []*piece.Piece
	for k, p := range c.Pieces {
		pieces = append(pieces, p.Piece)
		how.Remarks.Apply(p.Piece, heard.Sheets[k])
	}
	w.pages = class.PagesOf(pieces, heard.Sheets)
	for i := range w.pages {
		how.Remarks.Add(&w.pages[i])
	}
	w.names = pageNames(w.pages)
	for i := range w.pages { // in their order
		name := w.pages[i].Name
		w.names[name] = filepath.Base(w.to.Free(filepath.Join(out, w.names[name])))
	}
	for i := range w.pages {
		if err := job.WriteFile(filepath.Join(out, w.names[w.pages[i].Name]), job.Signed(w.student(&w.pages[i], false))); err != nil {
			return done, err
		}
	}
	if err := w.table(); err != nil {
		return done, err
	}
	if err := w.sheets(&done); err != nil {
		return done, err
	}
	if err := w.home(ctx, &done); err != nil {
		return done, err
	}
	if c.Keep != "" {
		forgetPages(w)
	}
	return done, nil
}

// student writes a student's page: the teacher's to look at, or as it goes home.
func (w *classWriting) student(g *class.Page, home bool) func(io.Writer) error {
	own := w.Remarks.For(g.Name)
	o := sheets.StudentOptions{Remark: w.Remarks.Class, Seen: own.Seen == g.Ident(), Struck: own.Strikes, Home: home, Paper: w.Remarks.Paper}
	o.Line, o.Before = own.Line(g.At())
	for _, part := range g.Parts {
		sound := map[int][]byte{}
		for _, m := range w.heard.Played[*part.Student.Recording].Moments {
			sound[m.Finding] = m.WAV
		}
		o.Sound = append(o.Sound, sound)
	}
	return func(to io.Writer) error { return sheets.StudentHTML(to, g, o) }
}

// goesHome writes a student's page as it goes home: in the student's language, where the
// roster names one. Nobody else says anything meanwhile: see Pages.Alone.
func (w *classWriting) goesHome(g *class.Page) func(io.Writer) error {
	tag := class.LanguageOf(w.Roster, g.Name)
	if tag == "" || tag == words.Here().Tag() {
		return w.student(g, true)
	}
	return func(to io.Writer) (err error) {
		own, _ := words.Best(tag)
		alone := w.Alone
		if alone == nil {
			alone = func(do func()) { do() }
		}
		alone(func() {
			defer words.Speak(words.Speak(own))
			page := class.Page{Name: g.Name}
			for _, part := range g.Parts {
				reads := w.heard.Played[*part.Student.Recording].told[tag]
				part.Student = part.Student.Retold(reads.Findings, reads.Doubt)
				page.Parts = append(page.Parts, part)
			}
			err = w.student(&page, true)(to)
		})
		return err
	}
}

// line is the teacher's own for a student.
func (w *classWriting) line(name string) string {
	for i := range w.pages {
		if w.pages[i].Name == name {
			now, _ := w.Remarks.For(name).Line(w.pages[i].At())
			return now
		}
	}
	return ""
}

// sheets writes the class sheet, with and without names; of several pieces one each, and the
// weeks over all.
func (w *classWriting) sheets(done *Written) (err error) {
	write := func(name string, page func(io.Writer) error) (written string, err error) {
		written, err = w.to.Sign(filepath.Join(w.out, name), page)
		w.other = append(w.other, filepath.Base(written))
		return written, err
	}
	links := map[string]string{}
	for k, s := range w.heard.Sheets {
		name := "class"
		if len(w.Pieces) > 1 {
			name = "sheet " + fileNamed(s.Piece, fmt.Sprint(k+1))
		}
		part := map[string]int{} // where on a page this piece stands
		for _, g := range w.pages {
			part[g.Name] = slices.IndexFunc(g.Parts, func(p class.Part) bool { return p.Piece == w.Pieces[k].Piece })
		}
		o := sheets.ClassOptions{Pages: func(name string) string { return w.names[name] }, Part: func(name string) int { return part[name] }, Line: w.line, Remark: w.Remarks.Class}
		if done.Sheet, err = write(name+".html", func(to io.Writer) error { return sheets.ClassHTML(to, w.Pieces[k].Piece, s, o) }); err != nil {
			return err
		}
		links[s.Piece] = filepath.Base(done.Sheet)
		o.Nameless = true
		if _, err = write(name+nameless, func(to io.Writer) error { return sheets.ClassHTML(to, w.Pieces[k].Piece, s, o) }); err != nil {
			return err
		}
	}
	if w.Term == nil {
		return nil
	}
	name := classWeeks
	if len(w.Pieces) > 1 {
		name = SheetName
	}
	weeks, err := write(name, func(to io.Writer) error {
		return sheets.TermHTML(to, w.Term, sheets.TermOptions{Pages: func(name string) string { return w.names[name] }, Sheets: links, Remark: w.Remarks.Class})
	})
	if len(w.Pieces) > 1 {
		done.Sheet = weeks
	} else {
		done.Weeks = weeks
	}
	return err
}

// home writes the pages that the teacher has seen as they go home, and prints them.
func (w *classWriting) home(ctx context.Context, done *Written) error {
	folder := filepath.Join(w.out, homeFolder)
	var stay, print []string
	for i := range w.pages {
		g := &w.pages[i]
		if w.Remarks.For(g.Name).Seen != g.Ident() {
			done.Waiting++
			continue
		}
		if err := os.MkdirAll(folder, 0o700); err != nil {
			return words.Fault("job.cannot-be-made", "folder", folder, "err", job.Cause(err))
		}
		path := filepath.Join(folder, w.names[g.Name])
		before, _ := os.ReadFile(path)
		written, err := w.to.Sign(path, w.goesHome(g))
		if err != nil {
			return err
		}
		now, _ := os.ReadFile(written)
		pdf := strings.TrimSuffix(written, ".html") + ".pdf"
		stay, done.Homes = append(stay, strings.TrimSuffix(filepath.Base(written), ".html")), done.Homes+1
		if there, err := os.ReadFile(pdf); err == nil && w.to.Wrote(pdf, there) && bytes.Equal(before, now) {
			w.other = append(w.other, filepath.Join(homeFolder, filepath.Base(pdf)))
			continue // as it was
		} else if err == nil && !w.to.Ours(pdf) {
			w.to.Leave(pdf)
			continue
		}
		print = append(print, written)
		w.other = append(w.other, filepath.Join(homeFolder, filepath.Base(pdf)))
	}
	forgetHome(folder, w.to, stay)
	if done.Homes > 0 {
		done.Home = folder
	}
	if len(print) > 0 {
		done.Print = Print(ctx, print)
	}
	return nil
}

// table writes class.csv, which nothing in itself tells to be Endpin's: before it is
// written the list has it as it was and as it will be, whenever the program is cut off.
func (w *classWriting) table() error {
	var text bytes.Buffer
	if err := sheets.ClassCSV(&text, w.heard.Sheets, w.Comma, w.line); err != nil {
		return err
	}
	table := w.to.Free(filepath.Join(w.out, TableName))
	w.other = append(w.other, filepath.Base(table))
	if w.Keep != "" {
		if err := os.MkdirAll(w.Keep, 0o700); err != nil {
			return words.Fault("job.cannot-be-made", "folder", w.Keep, "err", job.Cause(err))
		}
		list := filepath.Join(w.Keep, pagesKept)
		before := writtenBefore(list)
		before[filepath.Base(table)] += " " + job.Digest(text.Bytes())
		if err := job.WriteFile(list, func(w io.Writer) error { return job.WriteJSON(w, before) }); err != nil {
			return err
		}
	}
	return job.WriteFile(table, func(to io.Writer) error { _, err := to.Write(text.Bytes()); return err })
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
	var all []string
	for _, p := range c.Pieces {
		line, _ := p.Piece.Line()
		all = append(all, piece.Content(line))
	}
	slices.Sort(all)
	return strings.Join(all, " ")
}

// forgetPages takes away the pages of an earlier run that the sheet no longer
// leads to, as of a student whom a roster has named since: each holds a child's
// sound. A page that somebody has changed stays, and so do all while a class has
// not been heard to its end.
func forgetPages(w *classWriting) {
	holds := func(name string) string {
		data, err := os.ReadFile(filepath.Join(w.out, name))
		if err != nil {
			return ""
		}
		return job.Digest(data)
	}
	list := filepath.Join(w.Keep, pagesKept)
	now, before := map[string]string{pieceKept: pieceOf(w.Class)}, writtenBefore(list)
	for _, name := range w.names {
		now[name] = holds(name)
	}
	for _, name := range w.other {
		if is := holds(name); is != "" {
			now[filepath.Base(name)] = is
		}
	}
	whole := true
	for _, s := range w.heard.Sheets {
		for i := range s.Students {
			for _, t := range s.Students[i].Takes {
				whole = whole && !t.NotYet
			}
		}
	}
	for name, was := range before {
		if _, stands := now[name]; stands || filepath.Base(name) != name {
			continue
		}
		if whole && holds(name) == was && !slices.Contains([]string{TableName, SheetName}, name) {
			_ = os.Remove(filepath.Join(w.out, name))
		} else if !whole {
			now[name] = was
		}
	}
	_ = job.WriteFile(list, func(w io.Writer) error { return job.WriteJSON(w, now) })
}

// pageNames gives each student who was heard a file of his or her own, named as
// the student is as far as every system allows it.
func pageNames(all []class.Page) map[string]string {
	pages, taken := map[string]string{}, map[string]bool{"class": true, "weeks": true, "class without names": true}
	for i := range all {
		base := fileNamed(all[i].Name, "student")
		name := base
		for n := 2; taken[strings.ToLower(name)] || job.Device(name) || strings.HasPrefix(strings.ToLower(name), "sheet "); n++ {
			name = fmt.Sprintf("%s %d", base, n)
			if strings.HasPrefix(strings.ToLower(name), "sheet ") {
				name = "student " + name
			}
		}
		taken[strings.ToLower(name)] = true
		pages[all[i].Name] = name + ".html"
	}
	return pages
}

// fileNamed is a name as far as every system allows it for a file; or where nothing of it is left.
func fileNamed(name, or string) string {
	safe := strings.Map(func(r rune) rune {
		switch {
		case unicode.IsLetter(r), unicode.IsDigit(r), unicode.IsMark(r), r == '-', r == '\'':
			return r
		}
		return ' '
	}, name)
	base := strings.Join(strings.Fields(safe), " ")
	for len(base) > longestName {
		r := []rune(base)
		base = strings.TrimSpace(string(r[:len(r)-1]))
	}
	if base == "" {
		return or
	}
	return base
}

// longestName is how long a file's name may be, bytes: less than any system's 255.
const longestName = 120

// NobodyHeard says why there is nothing to tell of a whole class.
func NobodyHeard(folder string, h *Heard) error {
	for _, s := range h.Sheets {
		for i := range s.Students {
			for _, t := range s.Students[i].Takes {
				return words.Fault("job.class.nobody", "folder", folder, "recording", t.Recording, "reason", t.Reason)
			}
		}
		for i := range s.Questions {
			return words.Fault("job.class.nobody", "folder", folder, "recording", s.Questions[i].File, "reason", s.Questions[i].Text())
		}
	}
	for _, u := range h.Unplaced {
		return words.Fault("job.class.nobody", "folder", folder, "recording", u.Recording, "reason", u.Reason)
	}
	return words.Fault("job.class.nobody.empty", "folder", folder)
}
