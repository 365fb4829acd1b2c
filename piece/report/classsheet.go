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
	"slices"
	"sort"
	"strconv"
	"time"

	"endpin/dsp"
	"endpin/piece"
	"endpin/piece/class"
	"endpin/piece/engraving"
	"endpin/piece/finding"
	"endpin/piece/gist"
	"endpin/piece/outline"
	"endpin/piece/outside"
	"endpin/piece/practice"
	"endpin/piece/words"
)

//go:embed class.gohtml student.gohtml class.css class.js student.js
var classFiles embed.FS

var classTemplates = template.Must(template.New("class").Funcs(template.FuncMap{
	"style":  func() template.CSS { return template.CSS(embedded("page.css") + classFile("class.css")) },
	"script": func(name string) template.JS { return template.JS(classFile(name)) },
	"shapes": func() template.HTML { return template.HTML(embedded("shapes.svg")) },
	"policy": func(script string) string { return policy(classFile(script)) },
	"say":    say,
	"strong": strong,
	"lang":   lang,
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
	Gist    string // the whole of it in a sentence
	Counts  string
	Dates   string // when the takes were played
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
	Name, Page, Recording, Reason string
	Others                        []string // that were sent, too
	Said                          []string // of the recordings: what leaves doubt, what else was sent
	Cells                         []sheetCell
}

type sheetCell struct {
	At    string // its column's
	Marks []cellMark
	Not   string // why nothing was played there, or not all of it; "" where it was
	Count int
	kinds []finding.Kind
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
	pg := sheetPage{Title: clean(s.Piece), Gist: clean(gistOf(s).String()), Counts: countsOf(s), Dates: datesOf(s), LeftOut: s.LeftOut}
	for _, r := range s.Reteach {
		pg.Reteach = append(pg.Reteach, r.Text())
	}
	c := columnsOf(p, s)
	if len(p.Measures) > manyColumns {
		pg.Hidden = words.Many("report.class.hidden", len(p.Measures)).String()
	}
	for i := range s.Students {
		st := &s.Students[i]
		row := rowOf(st, pages)
		if st.Status != class.Heard {
			pg.Unheard = append(pg.Unheard, row)
			continue
		}
		row.Said = saidOf(p, st)
		row.Cells = make([]sheetCell, len(c.all))
		for k := range row.Cells {
			row.Cells[k].At = c.all[k].At
		}
		c.notPlayed(p, st, &row)
		c.marks(st, &row)
		for k := range row.Cells {
			pg.Stops = pg.Stops || row.Cells[k].Not != ""
			for _, m := range row.Cells[k].Marks {
				pg.Hollow = pg.Hollow || m.Hollow
			}
		}
		pg.Rows = append(pg.Rows, row)
	}
	c.foot(s.HeardOf())
	pg.Columns, pg.Kinds = c.all, c.legend()
	pg.Across, pg.Measures = len(pg.Columns)+1, len(pg.Columns)-1
	return classTemplates.ExecuteTemplate(w, "class.gohtml", pg)
}

// gistOf is the whole of a class in a sentence; nothing where nobody was heard.
func gistOf(s *class.Sheet) words.Sentence {
	switch heard := s.HeardOf(); {
	case heard == 0:
		return words.Sentence{}
	case len(s.Reteach) == 0:
		return gist.OfClass(heard, nil, 0, 0)
	}
	r := &s.Reteach[0]
	return gist.OfClass(s.HeardOf(), &finding.Finding{Kind: r.Kind, Measure: r.Measure, ToMeasure: r.ToMeasure}, r.Students, r.Of)
}

// datesOf says when the takes that count were played; "" where that is not known.
func datesOf(s *class.Sheet) string {
	var first, last time.Time
	for i := range s.Students {
		at := s.Students[i].At
		if s.Students[i].Hearing == nil || at.IsZero() {
			continue
		}
		if first.IsZero() || at.Before(first) {
			first = at
		}
		if at.After(last) {
			last = at
		}
	}
	from, to := words.Day(first).String(), words.Day(last).String()
	switch {
	case first.IsZero():
		return ""
	case from == to:
		return words.Say("report.class.date", "day", from)
	}
	return words.Say("report.class.dates", "from", from, "to", to)
}

// countsOf says what became of all students.
func countsOf(s *class.Sheet) string {
	heard, missing, waiting := s.HeardOf(), 0, 0
	for i := range s.Students {
		switch st := &s.Students[i]; {
		case st.Status == class.Missing:
			missing++
		case st.NotYet:
			waiting++
		}
	}
	what := []words.Sentence{words.Many("report.class.heard", heard)}
	for _, part := range []struct {
		key string
		n   int
	}{{"report.class.waiting", waiting}, {"report.class.unheard", len(s.Students) - heard - missing - waiting}, {"report.class.missing", missing}} {
		if part.n > 0 {
			what = append(what, words.Many(part.key, part.n))
		}
	}
	return words.Many("report.class.students", len(s.Students), "what", words.Row(what...)).String()
}

// columns are those of the sheet: the whole take, then the measures that are drawn.
type columns struct {
	all    []sheetColumn
	at     map[string]int // the measure that a printed number first stands at
	of     map[int]int    // the column of a measure
	counts []map[finding.Kind]int
	kinds  map[finding.Kind]bool
}

func columnsOf(p *piece.Piece, s *class.Sheet) *columns {
	c := &columns{at: map[string]int{}, of: map[int]int{}, kinds: map[finding.Kind]bool{}}
	for i := range p.Measures {
		if _, seen := c.at[p.Measures[i].Number]; !seen {
			c.at[p.Measures[i].Number] = i
		}
	}
	had := map[int]bool{}
	for i := range s.Students {
		for k := range s.Students[i].Findings {
			f := &s.Students[i].Findings[k]
			if m, ok := c.at[f.Measure]; ok && !class.Whole(f) {
				had[m] = true
			}
		}
	}
	whole := words.Say("report.class.whole")
	c.all = append(c.all, sheetColumn{Number: whole, At: whole, Whole: true})
	for m := range p.Measures {
		number := p.Measures[m].Number
		if len(p.Measures) > manyColumns && !had[m] || c.at[number] != m {
			continue
		}
		c.of[m] = len(c.all)
		c.all = append(c.all, sheetColumn{Number: clean(number), At: words.Say("report.class.measure", "measure", clean(number)), Order: m + 1})
	}
	for range c.all {
		c.counts = append(c.counts, map[finding.Kind]int{})
	}
	return c
}

// rowOf is a student with what was sent.
func rowOf(st *class.Student, pages Pages) sheetRow {
	row := sheetRow{Name: clean(st.Name), Page: pages(st.Name), Reason: clean(st.Reason)}
	if st.Recording != nil {
		row.Recording = clean(*st.Recording)
	}
	for i := range st.Takes {
		if !st.Takes[i].Chosen {
			row.Others = append(row.Others, alsoSent("report.class.other", &st.Takes[i]))
		}
	}
	return row
}

// alsoSent names a take that does not count, and why where nothing was heard in it.
func alsoSent(key string, t *class.Take) string {
	if t.Status == class.NotHeard {
		key += ".why"
	}
	return words.Say(key, "take", clean(t.Recording), "why", clean(t.Reason))
}

// saidOf is what there is to say of the recordings of a student who was heard.
func saidOf(p *piece.Piece, st *class.Student) (all []string) {
	for _, said := range []string{clean(class.Stops(st.Hearing)), clean(st.Reason), clean(st.Why)} {
		if said != "" {
			all = append(all, said)
		}
	}
	for i := range st.Takes {
		if !st.Takes[i].Chosen {
			all = append(all, alsoSent("report.class.also", &st.Takes[i]))
		}
	}
	return all
}

// notPlayed puts a dash where nothing was played.
func (c *columns) notPlayed(p *piece.Piece, st *class.Student, row *sheetRow) {
	for m := range class.NotPlayed(p, st.Hearing) {
		if k, drawn := c.of[m]; drawn {
			row.Cells[k].Not = words.Say("report.class.not-played")
		}
	}
}

// marks puts a student's findings into the cells, and counts them.
func (c *columns) marks(st *class.Student, row *sheetRow) {
	on := map[int]int{} // of its page, by finding
	for n, k := range st.WorthFixing {
		on[k] = n + 1
	}
	for i := range st.Findings {
		f := &st.Findings[i]
		k := 0
		if !class.Whole(f) {
			k = c.of[c.at[f.Measure]]
		}
		cell := &row.Cells[k]
		if class.Unplayed(f) { // no mistake, and not counted
			if k > 0 {
				cell.Not = clean(f.Text)
			}
			continue
		}
		if slices.Contains(cell.kinds, f.Kind) { // the other time round
			continue
		}
		mark := cellMark{Shape: shape(f.Kind), Text: clean(f.Text), Hollow: f.Trust != dsp.Sure}
		if n := on[i]; n > 0 && row.Page != "" {
			mark.Href = fmt.Sprintf("%s#w%d", (&url.URL{Path: "./" + row.Page}).String(), n)
		}
		cell.kinds = append(cell.kinds, f.Kind)
		cell.Marks = append(cell.Marks, mark)
		cell.Count++
		c.kinds[f.Kind] = true
		c.counts[k][f.Kind]++
	}
}

// foot counts the students under each column, of so many heard.
func (c *columns) foot(heard int) {
	for i := range c.all {
		col := &c.all[i]
		for k, n := range c.counts[i] {
			col.Foot = append(col.Foot, sheetCount{Shape: shape(k), Label: kindWord(k), Count: n})
			col.Total = max(col.Total, n)
			col.Most = col.Most || k.Row().Weight > 0 && class.Shared(n, heard)
		}
		sort.Slice(col.Foot, func(a, b int) bool {
			if col.Foot[a].Count != col.Foot[b].Count {
				return col.Foot[a].Count > col.Foot[b].Count
			}
			return col.Foot[a].Label < col.Foot[b].Label
		})
	}
}

// legend says what the shapes on the sheet stand for.
func (c *columns) legend() (all []sheetKind) {
	seen := map[string]bool{}
	for _, k := range finding.Kinds() {
		if word := kindWord(k); c.kinds[k] && !seen[word] {
			seen[word] = true
			all = append(all, sheetKind{Shape: shape(k), Word: word})
		}
	}
	return all
}

// kindWord is what a shape stands for in the legend: one word for one shape.
func kindWord(k finding.Kind) string { return words.Say("report.legend." + string(k)) }

// studentSheet is what a student's template is filled with.
type studentSheet struct {
	Name, Title, Recording string
	Date                   string // when it was played
	Stops                  string // where the take does not hold the whole piece
	Well                   []string
	Work                   []work
	Doubt                  string
	Sound                  string // how much of it the page holds, kB; "" for nothing
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
	At       words.Duration
}

// StudentHTML writes a student's own page: what went well and at most three
// things to work on. moments are WAV files by index into the findings; nil for
// none. The error is w's.
func StudentHTML(w io.Writer, p *piece.Piece, title string, st *class.Student, moments map[int][]byte) error {
	pg := studentSheet{Name: clean(st.Name), Title: clean(title), Doubt: clean(st.Reason)}
	if st.Recording != nil {
		pg.Recording = clean(*st.Recording)
	}
	if !st.At.IsZero() {
		pg.Date = words.Day(st.At).String()
	}
	h := st.Hearing
	if h == nil {
		return classTemplates.ExecuteTemplate(w, "student.gohtml", pg)
	}
	pg.Stops, pg.Well = clean(class.Stops(h)), gist.Praise(p, h, st.Before)
	asked, _ := outline.Of(p, outline.Options{}) // nil where the piece has none: then nothing sets a floor
	bytesOfSound := 0
	for n, i := range st.WorthFixing {
		f := &st.Findings[i]
		k := work{Number: n + 1, Shape: shape(f.Kind), Hollow: f.Trust != dsp.Sure, Text: clean(f.Text), At: words.Duration(f.At)}
		switch {
		case class.Whole(f):
			k.Where = words.Say("report.student.whole")
		case f.ToMeasure != f.Measure:
			k.Where = words.Say("report.student.measures", "from", f.Measure, "to", f.ToMeasure)
		default:
			k.Where = words.Say("report.student.measure", "measure", f.Measure)
		}
		if !class.Whole(f) {
			k.Notation, k.On = engraved(p, h, f, n)
			if qpm := class.Begin(h, floor(p, asked, f)); qpm > 0 {
				k.Begin = words.Say("report.amount.tempo", "qpm", words.Whole(qpm))
			}
		}
		if wav := moments[i]; len(wav) > 0 {
			bytesOfSound += len(wav)
			k.Sound = template.URL("data:audio/wav;base64," + base64.StdEncoding.EncodeToString(wav))
		}
		pg.Work = append(pg.Work, k)
	}
	if bytesOfSound > 0 {
		pg.Sound = strconv.Itoa((bytesOfSound + 500) / 1000)
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

// mostEngraved is how many measures of a range are drawn: what is worked on first, and as
// much as leaves room for three on one sheet of paper.
const mostEngraved = 4

// phoneWide is how many staff spaces fit across a phone.
const phoneWide = 45

// engraved draws the measures of a finding with the notes meant, and says how it goes on
// where they are many; nothing where they cannot be found.
func engraved(p *piece.Piece, h *finding.Hearing, f *finding.Finding, n int) (drawn template.HTML, on string) {
	first, last, err := p.Select(f.Measure)
	if err != nil {
		return "", ""
	}
	if _, to, err := p.Select(f.ToMeasure); err == nil && to > last {
		if last = min(to, first+mostEngraved-1); last < to {
			on = words.Say("report.student.goes-on", "from", f.Measure, "to", clean(p.Measures[last].Number), "on", f.ToMeasure)
		}
	}
	var b bytes.Buffer
	page := engraving.Engrave(p, engraving.Options{First: first, Count: last - first + 1, Width: phoneWide, Meant: meant(p, h, f)})
	if err := page.SVG(&b, engraving.SVGOptions{Prefix: fmt.Sprintf("n%d", n), Title: words.Say("report.page.panel", "from", f.Measure, "to", f.ToMeasure)}); err != nil {
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
		head := []string{outside.Cell(st.Name), outside.Cell(recording), string(st.Status), outside.Cell(st.Reason)}
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
			_ = out.Write(append(head[:4:4], outside.Cell(f.Measure), outside.Cell(f.ToMeasure), strconv.Itoa(f.Pass), plain(f.Beat), string(f.Kind), plain(f.Value),
				string(f.Trust), plain(f.At), first, outside.Cell(f.Text)))
		}
	}
	out.Flush()
	return out.Error()
}

func plain(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }
