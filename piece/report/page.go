package report

import (
	"embed"
	"fmt"
	"html/template"
	"io"
	"slices"

	"endpin/dsp"
	"endpin/piece"
	"endpin/piece/finding"
	"endpin/piece/gist"
	"endpin/piece/report/paper"
	"endpin/piece/words"
)

//go:embed page.gohtml
var files embed.FS

var pageTemplate = template.Must(template.New("page.gohtml").Funcs(paper.Funcs("")).ParseFS(files, "page.gohtml"))

// page is what the template is filled with.
type page struct {
	Title     string
	Gist      string // the whole of it in a sentence
	Facts     []fact
	Well      []string // what went well
	Plain     string   // what was heard, where nothing stood out
	First     []first
	Take      []item // findings about the whole take
	Cells     []cell
	Rest      []string
	Items     []item
	Rows      []row
	LeftOut   string
	Hollow    bool // some shape is
	Few       bool // so little is told that it is printed on one sheet
	Remarks   []string
	Tolerance words.Number
	Traced    bool
}

// item is one finding in full.
type item struct {
	ID       string
	Shape    string
	Where    string
	Brief    string
	Text     string
	Evidence []string
	Trust    string
	Hollow   bool // not so sure
	Turn     int  // of what is worth fixing first; 0 for none
}

// fewItems is how many things are told on one sheet of paper, with the measures in which
// they begin.
const fewItems = 3

// cell is one measure in the strip.
type cell struct {
	Number string
	Time   string // which time round, or that it is the pickup
	Marks  []cellMark
	Note   string // why there is nothing to say
}

type cellMark struct {
	Href, Shape, Text string
	Hollow            bool // not so sure
}

// row is a line of music: two panels side by side, or one below the other
// where there is no room.
type row struct{ Panels []*panel }

// manyMeasures is the most measures that are drawn one by one, so that a page
// stays a page; of a longer take only those with findings are.
const manyMeasures = 400

// HTML writes a hearing as one page that needs nothing else: no network, no
// fonts of its own, no scripts. Line is the line that the hearing's notes are
// of, nil is the whole piece's; heard is the take's sound, nil leaves the pitch
// out. The page grows
// with the measures drawn, not with the length of the sound: about 5 kB each.
// The error is w's.
func HTML(w io.Writer, p *piece.Piece, line []piece.Expected, h *finding.Hearing, heard *dsp.Heard, o Options) error {
	if line == nil {
		line, _ = p.Line()
	}
	m := lay(p, line, h)
	m.paper = true
	s := newScore(m, h, heard, o)
	ids := make([]string, len(h.Findings)) // of the item that tells a finding
	pg := page{
		Title: clean(title(p, h)), Gist: clean(gist.Of(p, h).String()), First: fixFirst(m, h), Rest: m.rest(h), Traced: heard != nil,
		Tolerance: words.Short(s.tolerance),
	}
	for _, f := range facts(p, h, o) {
		pg.Facts = append(pg.Facts, fact{f.Name, clean(f.Said)})
	}
	for _, w := range gist.Praise(p, h) {
		pg.Well = append(pg.Well, clean(w))
	}
	for _, r := range h.Remarks {
		pg.Remarks = append(pg.Remarks, clean(r))
	}
	if len(h.Findings) == 0 {
		pg.Plain = heardPlainly(m, h)
	}
	for _, a := range m.gathered(h) {
		f := &h.Findings[a.worst]
		it := item{ID: id(a.all[0]), Shape: shape(f.Kind), Where: m.inMeasures(f), Brief: m.brief(f, h),
			Text: clean(f.Text), Evidence: m.evidence(f, h), Trust: trustWord(f.Trust), Hollow: f.Trust != dsp.Sure}
		if len(a.all) > 1 {
			it.Where, it.Brief = words.Say("report.in.measures", "where", a.where(m, h)), a.what(m, h, o)
			it.Text = words.Say("report.alike.as", "text", it.Text)
		}
		for _, i := range a.all {
			ids[i] = it.ID
			if turn := slices.Index(h.WorthFixing, i) + 1; it.Turn == 0 {
				it.Turn = turn
			}
		}
		pg.Items = append(pg.Items, it)
		pg.Hollow = pg.Hollow || it.Hollow
		if m.whole(f) {
			pg.Take = append(pg.Take, it)
		}
	}
	shown := m.shown(h)
	pg.Cells = m.cells(h, ids, shown)
	states := m.states(h)
	pg.Rows = s.rows(func(b int) bool { return shown(b) && states[b] != unheard })
	pg.Few = len(pg.Items) <= fewItems
	if len(m.bars) > manyMeasures {
		pg.LeftOut = words.Many("report.page.left-out", len(m.bars)).String()
	}
	return pageTemplate.Execute(w, pg)
}

func id(finding int) string { return fmt.Sprintf("f%d", finding+1) }

// shown says which measures are drawn.
func (m *music) shown(h *finding.Hearing) func(int) bool {
	if len(m.bars) <= manyMeasures {
		return func(int) bool { return true }
	}
	states, left := m.states(h), manyMeasures
	draw := map[int]bool{}
	for b, s := range states {
		if s == told && left > 0 {
			draw[b] = true
			left--
		}
	}
	return func(b int) bool { return draw[b] }
}

// cells lists the measures of the strip with what is told in each.
func (m *music) cells(h *finding.Hearing, ids []string, shown func(int) bool) []cell {
	states := m.states(h)
	marks := map[int][]cellMark{}
	for i := range h.Findings {
		f := &h.Findings[i]
		if m.whole(f) {
			continue
		}
		for _, in := range m.toldIn(f) {
			for b := in[0]; b <= in[1]; b++ {
				text := m.brief(f, h)
				switch {
				case b > in[0] && states[b] == unheard:
					continue
				case b > in[0]:
					text = "…"
				}
				href := "#" + ids[i]
				if (ids[i] != id(i) || len(f.Places) > 0) && slices.ContainsFunc(marks[b], func(c cellMark) bool { return c.Href == href }) {
					continue // one of many, and so is another in the measure
				}
				marks[b] = append(marks[b], cellMark{href, shape(f.Kind), text, f.Trust != dsp.Sure})
			}
		}
	}
	notes := map[state]string{faint: "report.cell.faint", unheard: "report.cell.unheard", resting: "report.cell.resting"}
	var cells []cell
	for b, s := range states {
		if !shown(b) {
			continue
		}
		c := cell{Number: clean(m.bars[b].Number), Time: m.whichTime(b), Marks: marks[b]}
		if key := notes[s]; len(c.Marks) == 0 && key != "" {
			c.Note = words.Say(key)
		}
		cells = append(cells, c)
	}
	return cells
}

// rows draws the panels, two to a line; both have room for the findings of either.
func (s *score) rows(shown func(int) bool) []row {
	var rows []row
	all := s.panels(shown)
	for i := 0; i < len(all); i += 2 {
		r := row{Panels: all[i:min(i+2, len(all))]}
		most := 0
		for _, p := range r.Panels {
			most = max(most, s.place(p))
		}
		for _, p := range r.Panels {
			s.draw(p, most)
			p.Label = words.Say("report.page.panel", "from", clean(s.bars[p.bars[0]].Number), "to", clean(s.bars[p.bars[len(p.bars)-1]].Number))
		}
		rows = append(rows, r)
	}
	return rows
}
