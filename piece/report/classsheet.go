package report

import (
	"bytes"
	"embed"
	"encoding/base64"
	"encoding/csv"
	"fmt"
	"html/template"
	"io"
	"net/url"
	"sort"
	"strconv"
	"strings"

	"endpin/dsp"
	"endpin/piece"
	"endpin/piece/class"
	"endpin/piece/engraving"
	"endpin/piece/finding"
	"endpin/piece/outline"
	"endpin/piece/practice"
	"endpin/piece/words"
)

//go:embed class.gohtml student.gohtml class.css class.js student.js
var classFiles embed.FS

var classTemplates = template.Must(template.New("class").Funcs(template.FuncMap{
	"style":  func() template.CSS { return template.CSS(embedded("page.css") + classFile("class.css")) },
	"script": func(name string) template.JS { return template.JS(classFile(name)) },
	"shapes": func() template.HTML { return template.HTML(embedded("shapes.svg")) },
	"dash":   func(s string) string { return strings.ReplaceAll(s, "-", "–") },
	"minus":  func(s string) string { return negative.ReplaceAllString(s, "$1−$2") },
}).ParseFS(classFiles, "class.gohtml", "student.gohtml"))

func classFile(name string) string {
	b, err := classFiles.ReadFile(name)
	if err != nil { // it is compiled in
		panic(err)
	}
	return string(b)
}

// sheetPage is what the class sheet's template is filled with.
type sheetPage struct {
	Title   string
	Counts  string
	Reteach []string
	Columns []sheetColumn
	Rows    []sheetRow
	Kinds   []sheetKind
	Hidden  string // which measures are not drawn
	Hollow  bool
	Stops   bool // a take does not hold the whole piece
	LeftOut []class.LeftOut
	Unheard []sheetRow

	Across   int // columns of the table, the names' too
	Measures int // columns of measures
}

type sheetColumn struct {
	Number string
	At     string // "measure 7", for a phone
	Whole  bool
	Order  int
	Foot   []sheetCount
	Most   bool // it stands out
	Total  int
}

type sheetCount struct {
	Shape  string
	Label  string
	Count  int
	Hollow bool
}

type sheetRow struct {
	Name, Page, Recording, Reason, Status string
	Others                                []string
	Said                                  []string // of the recordings: what leaves doubt, what else was sent
	Cells                                 []sheetCell
}

type sheetCell struct {
	At    string // its column's
	Marks []cellMark
	Not   string // why nothing was played there, or not all of it; "" where it was
	Count int
}

type sheetKind struct {
	Shape, Word string
	Hollow      bool
}

// Pages gives the file of each student's own page; "" where there is none.
type Pages func(name string) string

// manyColumns is the most measures that are drawn one by one; of a longer piece
// only those in which somebody had something are.
const manyColumns = 32

// ClassHTML writes the class sheet as one page that needs nothing else. The error is w's.
func ClassHTML(w io.Writer, p *piece.Piece, s *class.Sheet, pages Pages) error {
	pg := sheetPage{Title: clean(s.Piece), LeftOut: s.LeftOut}
	at := map[string]int{}
	for i := range p.Measures {
		if _, seen := at[p.Measures[i].Number]; !seen {
			at[p.Measures[i].Number] = i
		}
	}
	heard, missing, waiting := s.HeardOf(), 0, 0
	had := map[int]bool{}
	for i := range s.Students {
		switch {
		case s.Students[i].Status == class.Missing:
			missing++
		case s.Students[i].NotYet:
			waiting++
		}
		for k := range s.Students[i].Findings {
			f := &s.Students[i].Findings[k]
			if m, ok := at[f.Measure]; ok && !class.Whole(f) {
				had[m] = true
			}
		}
	}
	pg.Counts = fmt.Sprintf("%s: %d heard", counted(strconv.Itoa(len(s.Students)), "student"), heard)
	if waiting > 0 {
		pg.Counts += fmt.Sprintf(", %d not heard yet, as the run was stopped", waiting)
	}
	if n := len(s.Students) - heard - missing - waiting; n > 0 {
		pg.Counts += fmt.Sprintf(", %d sent a recording in which the piece was not heard", n)
	}
	if missing > 0 {
		pg.Counts += fmt.Sprintf(", %d without a recording", missing)
	}
	pg.Counts += "."
	for i, r := range s.Reteach {
		if i < 5 {
			pg.Reteach = append(pg.Reteach, r.Text())
		}
	}

	column := map[int]int{}
	pg.Columns = append(pg.Columns, sheetColumn{Number: "whole take", At: "whole take", Whole: true})
	for m := range p.Measures {
		if len(p.Measures) > manyColumns && !had[m] || at[p.Measures[m].Number] != m {
			continue
		}
		column[m] = len(pg.Columns)
		pg.Columns = append(pg.Columns, sheetColumn{Number: clean(p.Measures[m].Number), At: "measure " + clean(p.Measures[m].Number), Order: m + 1})
	}
	if len(p.Measures) > manyColumns {
		pg.Hidden = fmt.Sprintf("The piece has %d measures; only those in which somebody had something are drawn.", len(p.Measures))
	}
	pg.Across, pg.Measures = len(pg.Columns)+1, len(pg.Columns)-1
	counts := make([]map[finding.Kind]int, len(pg.Columns))
	for i := range counts {
		counts[i] = map[finding.Kind]int{}
	}
	kinds := map[finding.Kind]bool{}
	for i := range s.Students {
		st := &s.Students[i]
		row := sheetRow{Name: clean(st.Name), Page: pages(st.Name), Reason: clean(st.Reason), Status: statusWord(st.Status)}
		if st.Recording != nil {
			row.Recording = clean(*st.Recording)
		}
		for _, t := range st.Takes {
			if !t.Chosen {
				said := clean(t.Recording)
				if t.Status == class.NotHeard {
					said += " (" + clean(t.Reason) + ")"
				}
				row.Others = append(row.Others, said)
			}
		}
		if st.Status != class.Heard {
			pg.Unheard = append(pg.Unheard, row)
			continue
		}
		for _, said := range []string{clean(class.Stops(p, st.Hearing)), row.Reason, clean(st.Why)} {
			if said != "" {
				row.Said = append(row.Said, said)
			}
		}
		for _, o := range row.Others {
			row.Said = append(row.Said, "Also sent: "+o+".")
		}
		row.Cells = make([]sheetCell, len(pg.Columns))
		for c := range row.Cells {
			row.Cells[c].At = pg.Columns[c].At
		}
		for m := range class.NotPlayed(p, st.Hearing) {
			if c, drawn := column[m]; drawn {
				row.Cells[c].Not = "Not played."
				pg.Stops = true
			}
		}
		once := map[string]bool{}
		on := map[int]int{} // of its page, by finding
		for n, k := range st.WorthFixing {
			on[k] = n + 1
		}
		for k := range st.Findings {
			f := &st.Findings[k]
			c := 0
			if !class.Whole(f) {
				c = column[at[f.Measure]]
			}
			if class.Unplayed(f) { // no mistake, and not counted
				if c > 0 {
					row.Cells[c].Not = clean(f.Text)
					pg.Stops = true
				}
				continue
			}
			id := fmt.Sprint(c, f.Kind)
			if once[id] { // the other time round
				continue
			}
			once[id] = true
			hollow := f.Trust != dsp.Sure
			mark := cellMark{Shape: shape(f.Kind), Text: clean(f.Text), Hollow: hollow}
			if n := on[k]; n > 0 && row.Page != "" {
				mark.Href = fmt.Sprintf("%s#w%d", (&url.URL{Path: "./" + row.Page}).String(), n)
			}
			row.Cells[c].Marks = append(row.Cells[c].Marks, mark)
			row.Cells[c].Count++
			pg.Hollow = pg.Hollow || hollow
			kinds[f.Kind] = true
			counts[c][f.Kind]++
		}
		pg.Rows = append(pg.Rows, row)
	}
	for c := range pg.Columns {
		col := &pg.Columns[c]
		for k, n := range counts[c] {
			col.Foot = append(col.Foot, sheetCount{Shape: shape(k), Label: kindWord(k), Count: n})
			col.Total = max(col.Total, n)
			col.Most = col.Most || k != finding.NotSure && n >= 2 && 3*n >= heard
		}
		sort.Slice(col.Foot, func(a, b int) bool {
			if col.Foot[a].Count != col.Foot[b].Count {
				return col.Foot[a].Count > col.Foot[b].Count
			}
			return col.Foot[a].Label < col.Foot[b].Label
		})
	}
	seen := map[string]bool{}
	for _, k := range finding.Kinds() {
		if kinds[k] && !seen[kindWord(k)] {
			seen[kindWord(k)] = true
			pg.Kinds = append(pg.Kinds, sheetKind{Shape: shape(k), Word: kindWord(k)})
		}
	}
	return classTemplates.ExecuteTemplate(w, "class.gohtml", pg)
}

// kindWord is what a shape stands for in the legend: one word for one shape.
func kindWord(k finding.Kind) string { return words.Say("report.legend." + string(k)) }

func statusWord(s class.Status) string {
	switch s {
	case class.Missing:
		return "no recording"
	case class.NotHeard:
		return "not heard"
	}
	return ""
}

// studentSheet is what a student's template is filled with.
type studentSheet struct {
	Name, Title, Recording string
	Stops                  string // where the take does not hold the whole piece
	Well                   []string
	Work                   []work
	Doubt                  string
	Sound                  string // how much of it the page holds
	Remarks                []string
}

type work struct {
	Number   int
	Where    string
	Shape    string
	Hollow   bool
	Text     string
	Notation template.HTML
	On       string // how far it goes on beyond what is drawn
	Begin    string
	Sound    template.URL
	At       string
}

// StudentHTML writes a student's own page: what went well and at most three
// things to work on. moments are WAV files by index into the findings; nil for
// none. The error is w's.
func StudentHTML(w io.Writer, p *piece.Piece, title string, st *class.Student, moments map[int][]byte) error {
	pg := studentSheet{Name: clean(st.Name), Title: clean(title), Doubt: clean(st.Reason)}
	if st.Recording != nil {
		pg.Recording = clean(*st.Recording)
	}
	h := st.Hearing
	if h == nil {
		return classTemplates.ExecuteTemplate(w, "student.gohtml", pg)
	}
	pg.Stops, pg.Well = clean(class.Stops(p, h)), class.Well(p, h)
	asked, _ := outline.Of(p, outline.Options{}) // nil where the piece has none: then nothing sets a floor
	bytesOfSound := 0
	for n, i := range st.WorthFixing {
		f := &st.Findings[i]
		k := work{Number: n + 1, Shape: shape(f.Kind), Hollow: f.Trust != dsp.Sure, Text: clean(f.Text), At: minutes(f.At)}
		k.Where = "Measure " + f.Measure
		if f.ToMeasure != f.Measure {
			k.Where = "Measures " + f.Measure + "-" + f.ToMeasure
		}
		if class.Whole(f) {
			k.Where = "The whole piece"
		} else {
			k.Notation, k.On = engraved(p, f, n)
			if qpm := class.Begin(h, floor(p, asked, f)); qpm > 0 {
				k.Begin = fmt.Sprintf("♩ = %.0f", qpm)
			}
		}
		if wav := moments[i]; len(wav) > 0 {
			bytesOfSound += len(wav)
			k.Sound = template.URL("data:audio/wav;base64," + base64.StdEncoding.EncodeToString(wav))
		}
		pg.Work = append(pg.Work, k)
	}
	if bytesOfSound > 0 {
		pg.Sound = fmt.Sprintf("%d kB", (bytesOfSound+500)/1000)
	}
	return classTemplates.ExecuteTemplate(w, "student.gohtml", pg)
}

// floor is the slowest tempo at which the bows of a finding's measures last,
// quarter notes a minute; 0 where nothing forbids.
func floor(p *piece.Piece, o *outline.Outline, f *finding.Finding) float64 {
	first, last, err := p.Select(f.Measure)
	if o == nil || err != nil {
		return 0
	}
	if _, to, err := p.Select(f.ToMeasure); err == nil {
		last = max(last, to)
	}
	qpm, _ := practice.Floor(o, outline.Range{First: first, Last: last})
	return qpm
}

// mostEngraved is how many measures of a range are drawn.
const mostEngraved = 8

// phoneWide is how many staff spaces fit across a phone.
const phoneWide = 45

// engraved draws the measures of a finding, and says how it goes on where they
// are many; nothing where they cannot be found.
func engraved(p *piece.Piece, f *finding.Finding, n int) (drawn template.HTML, on string) {
	first, last, err := p.Select(f.Measure)
	if err != nil {
		return "", ""
	}
	if _, to, err := p.Select(f.ToMeasure); err == nil && to > last {
		if last = min(to, first+mostEngraved-1); last < to {
			on = fmt.Sprintf("Measures %s to %s are drawn; it goes on to measure %s.", f.Measure, clean(p.Measures[last].Number), f.ToMeasure)
		}
	}
	var b bytes.Buffer
	page := engraving.Engrave(p, engraving.Options{First: first, Count: last - first + 1, Width: phoneWide})
	if err := page.SVG(&b, engraving.SVGOptions{Prefix: fmt.Sprintf("n%d", n), Title: "Measures " + f.Measure + " to " + f.ToMeasure}); err != nil {
		return "", ""
	}
	return template.HTML(b.String()), on
}

// ClassCSV writes one row a finding (RFC 4180), for a spreadsheet: with the mark
// that tells it UTF-8, and no cell that it would take for a formula. A student
// without a finding has one row. The error is w's.
func ClassCSV(w io.Writer, s *class.Sheet) error {
	if _, err := io.WriteString(w, "\ufeff"); err != nil {
		return err
	}
	out := csv.NewWriter(w)
	out.UseCRLF = true
	_ = out.Write([]string{"name", "recording", "status", "reason", "measure", "to_measure", "time_round", "beat", "kind", "value", "trust", "at_s", "worth_fixing", "text"})
	for i := range s.Students {
		st := &s.Students[i]
		recording := ""
		if st.Recording != nil {
			recording = *st.Recording
		}
		head := []string{guarded(st.Name), guarded(recording), string(st.Status), guarded(st.Reason)}
		if len(st.Findings) == 0 {
			_ = out.Write(append(head, make([]string, 10)...))
		}
		for k := range st.Findings {
			f := &st.Findings[k]
			first := ""
			for n, j := range st.WorthFixing {
				if j == k {
					first = strconv.Itoa(n + 1)
				}
			}
			_ = out.Write(append(head[:4:4], guarded(f.Measure), guarded(f.ToMeasure), strconv.Itoa(f.Pass), plain(f.Beat), string(f.Kind), plain(f.Value),
				string(f.Trust), plain(f.At), first, guarded(f.Text)))
		}
	}
	out.Flush()
	return out.Error()
}

func plain(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }

// guarded keeps a spreadsheet from taking a text for a formula: an apostrophe
// before what begins like one (OWASP, "CSV Injection").
func guarded(s string) string {
	if s != "" && strings.ContainsRune("=+-@\t\r\n＝＋－＠", []rune(s)[0]) {
		return "'" + s
	}
	return s
}
