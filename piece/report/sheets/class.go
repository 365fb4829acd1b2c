package sheets

import (
	"embed"
	"fmt"
	"html/template"
	"io"
	"net/url"
	"slices"
	"sort"
	"time"

	"endpin/dsp"
	"endpin/piece"
	"endpin/piece/class"
	"endpin/piece/finding"
	"endpin/piece/gist"
	"endpin/piece/outside"
	"endpin/piece/report/paper"
	"endpin/piece/words"
)

//go:embed class.gohtml student.gohtml term.gohtml class.css class.js student.js
var classFiles embed.FS

var classTemplates = template.Must(template.New("class").Funcs(paper.Funcs(classFile("class.css"))).Funcs(template.FuncMap{
	"script": func(name string) template.JS { return template.JS(classFile(name)) },
	"paper": func(name string) template.CSS {
		if name != "A4" && name != "Letter" {
			return ""
		}
		return template.CSS("@page { size: " + name + "; }\n")
	},
	"policyAlone": func() string { return paper.Policy() },
	"policy":      func(script string) string { return paper.Policy(classFile(script)) },
	"strong":      strong,
}).ParseFS(classFiles, "class.gohtml", "student.gohtml", "term.gohtml"))

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
	Heard   bool // anybody was

	Questions []string // whose recordings are
	Remark    string
	Nameless  bool

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
	part                          int
}

type sheetCell struct {
	At    string // its column's
	Marks []sheetMark
	Not   string // why nothing was played there, or not all of it; "" where it was
	Count int
	kinds []finding.Kind
}

type sheetMark struct {
	Href, Shape, Text string
	Hollow            bool // not so sure
}

type sheetKind struct {
	Shape, Word string
	Hollow      bool
}

// Pages gives the file of each student's own page; "" where there is none.
type Pages func(name string) string

// ClassOptions are how a class sheet is told.
type ClassOptions struct {
	Pages    Pages                    // nil for none
	Part     func(name string) int    // which piece of the student's page it is, from 0; nil for the first
	Line     func(name string) string // the teacher's own of a student; nil for none
	Remark   string                   // the teacher's for the class
	Nameless bool                     // to be shown in class: counts alone, and nobody's name
}

// manyColumns is the most measures that are drawn one by one; of a longer piece
// only those in which somebody had something are.
const manyColumns = 32

// ClassHTML writes the class sheet as one page that needs nothing else. The error is w's.
//
// Students stand in the order of the alphabet.
func ClassHTML(w io.Writer, p *piece.Piece, s *class.Sheet, o ClassOptions) error {
	if o.Pages == nil {
		o.Pages = func(string) string { return "" }
	}
	if o.Part == nil {
		o.Part = func(string) int { return 0 }
	}
	pg := sheetPage{Title: outside.Line(s.Piece), Gist: outside.Line(gistOf(s).String()), Counts: countsOf(s), Dates: datesOf(s), Remark: outside.Line(o.Remark), Nameless: o.Nameless}
	for _, r := range s.Reteach {
		pg.Reteach = append(pg.Reteach, r.Text())
	}
	c := columnsOf(p, s)
	if len(p.Measures) > manyColumns {
		pg.Hidden = words.Many("report.class.hidden", len(p.Measures)).String()
	}
	for _, i := range class.Alphabetical(s.Students) {
		st := &s.Students[i]
		row := rowOf(st, o)
		if st.Status != class.Heard {
			pg.Unheard = append(pg.Unheard, row)
			continue
		}
		row.Said = saidOf(p, st, o)
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
	if pg.Heard = len(pg.Rows) > 0; o.Nameless {
		pg.Rows, pg.Unheard = nil, nil
	} else {
		pg.LeftOut, pg.Questions = s.LeftOut, questionsOf(s.Questions)
	}
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
	feet   []map[string]*sheetCount // by what a shape stands for
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
		c.all = append(c.all, sheetColumn{Number: outside.Line(number), At: words.Say("report.class.measure", "measure", outside.Line(number)), Order: m + 1})
	}
	for range c.all {
		c.counts, c.feet = append(c.counts, map[finding.Kind]int{}), append(c.feet, map[string]*sheetCount{})
	}
	return c
}

// rowOf is a student with what was sent.
func rowOf(st *class.Student, o ClassOptions) sheetRow {
	row := sheetRow{Name: outside.Line(st.Name), Page: o.Pages(st.Name), part: o.Part(st.Name), Reason: outside.Line(st.Reason)}
	if st.Recording != nil {
		row.Recording = outside.Line(*st.Recording)
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
	return words.Say(key, "take", outside.Line(t.Recording), "why", outside.Line(t.Reason))
}

// saidOf is what there is to say of the recordings of a student who was heard.
func saidOf(p *piece.Piece, st *class.Student, o ClassOptions) (all []string) {
	own := ""
	if o.Line != nil && o.Line(st.Name) != "" {
		own = words.Say("report.class.own", "line", outside.Line(o.Line(st.Name)))
	}
	struck := ""
	if n := len(st.Struck); n > 0 {
		struck = words.Many("report.class.struck", n).String()
	}
	for _, said := range []string{outside.Line(class.Stops(st.Hearing)), outside.Line(st.Reason), outside.Line(st.Why), outside.Line(st.Moved), struck, own} {
		if said != "" {
			all = append(all, said)
		}
	}
	var others []string
	for i := range st.Takes {
		switch t := &st.Takes[i]; {
		case t.Chosen:
		case t.Status == class.NotHeard:
			all = append(all, alsoSent("report.class.also", t))
		default:
			others = append(others, outside.Line(t.Recording))
		}
	}
	if more := len(others) - mostOthers; more > 0 {
		all = append(all, words.Say("report.class.also.more", "takes", words.Row(others[:mostOthers]...), "n", more))
	} else if len(others) > 0 {
		all = append(all, words.Say("report.class.also", "take", words.Row(others...)))
	}
	return all
}

// mostOthers is how many takes that do not count are named: over a term they become many.
const mostOthers = 3

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
	for n, k := range st.Given() {
		on[k] = n + 1
	}
	mine := make([]map[string]bool, len(c.all)) // by what its shape stands for: whether one is sure
	for k := range mine {
		mine[k] = map[string]bool{}
	}
	for i := range st.Findings {
		f := &st.Findings[i]
		if slices.Contains(st.Struck, i) {
			continue
		}
		for _, k := range c.under(st, f) {
			cell := &row.Cells[k]
			if class.Unplayed(f) { // no mistake, and not counted
				if k > 0 && partly(st.Hearing, f) {
					cell.Not = outside.Line(f.Text)
				}
				continue
			}
			if slices.Contains(cell.kinds, f.Kind) { // the other time round
				continue
			}
			mark := sheetMark{Shape: string(f.Kind.Row().Shape), Text: outside.Line(f.Text), Hollow: f.Trust != dsp.Sure}
			if n := on[i]; n > 0 && row.Page != "" {
				mark.Href = fmt.Sprintf("%s#%s", (&url.URL{Path: "./" + row.Page}).String(), anchor(row.part, n))
			}
			cell.kinds = append(cell.kinds, f.Kind)
			cell.Marks = append(cell.Marks, mark)
			cell.Count++
			c.kinds[f.Kind] = true
			c.counts[k][f.Kind]++
			c.stand(k, f, mine[k])
		}
	}
}

// stand counts a student once under a column for what a shape stands for, which may be several
// kinds; it is hollow there where all who had it had it so.
func (c *columns) stand(k int, f *finding.Finding, mine map[string]bool) {
	word := kindWord(f.Kind)
	foot := c.feet[k][word]
	if foot == nil {
		foot = &sheetCount{Shape: string(f.Kind.Row().Shape), Label: word, Hollow: true}
		c.feet[k][word] = foot
	}
	if _, counted := mine[word]; !counted {
		foot.Count++
	}
	mine[word] = mine[word] || f.Trust == dsp.Sure
	foot.Hollow = foot.Hollow && !mine[word]
}

// partly reports whether a take stops before the end of the measure in which it does.
func partly(h *finding.Hearing, f *finding.Finding) bool {
	return slices.ContainsFunc(h.Notes, func(n finding.Note) bool {
		return n.State != finding.StateExtra && n.Onset == nil && n.Measure == f.Measure && n.Pass == f.Pass
	})
}

// under is where a finding is marked: under the whole take, under its measure, or of a passage
// at another pace under each that it goes through and that is drawn.
func (c *columns) under(st *class.Student, f *finding.Finding) []int {
	first, there := c.at[f.Measure]
	if class.Throughout(st.Hearing, f) || !there {
		return []int{0}
	}
	all := []int{c.of[first]}
	for m := first + 1; f.Kind.Row().Unit == finding.PaceShare && m <= c.at[f.ToMeasure]; m++ {
		if k, drawn := c.of[m]; drawn {
			all = append(all, k)
		}
	}
	return all
}

// foot counts the students under each column, of so many heard.
func (c *columns) foot(heard int) {
	for i := range c.all {
		col := &c.all[i]
		for k, n := range c.counts[i] {
			col.Most = col.Most || k.Row().Weight > 0 && class.Shared(n, heard)
		}
		for _, foot := range c.feet[i] {
			col.Foot, col.Total = append(col.Foot, *foot), max(col.Total, foot.Count)
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
			all = append(all, sheetKind{Shape: string(k.Row().Shape), Word: word})
		}
	}
	return all
}

// kindWord is what a shape stands for in the legend: one word for one shape.
func kindWord(k finding.Kind) string { return words.Say("report.legend." + string(k)) }

// questionsOf are what is asked of recordings of which nobody knows whose they are.
func questionsOf(all []class.Question) (said []string) {
	for i := range all {
		said = append(said, outside.Line(all[i].Text()))
	}
	return said
}
