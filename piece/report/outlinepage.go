package report

import (
	"embed"
	"html/template"
	"io"
	"strings"

	"endpin/piece"
	"endpin/piece/engraving"
	"endpin/piece/outline"
	"endpin/piece/practice"
	"endpin/piece/report/paper"
	"endpin/piece/words"
)

//go:embed outline.gohtml outline.css
var outlineFiles embed.FS

var outlineTemplate = func() *template.Template {
	css, err := outlineFiles.ReadFile("outline.css")
	if err != nil { // it is compiled in
		panic(err)
	}
	return template.Must(template.New("outline.gohtml").Funcs(paper.Funcs(string(css))).ParseFS(outlineFiles, "outline.gohtml"))
}()

// sheet is what the page of an outline is filled with.
type sheet struct {
	Title   string
	Facts   []fact
	Hard    []circle
	Sitting string
	Plan    []task
	Changed []string
	Caution string
	Music   template.HTML
	Narrow  template.HTML // the music again, for a phone

	MoveHeads []string
	Moves     [][]string // shifts
	Others    []string   // other fingerings
	Remarks   []string
}

type circle struct {
	Number, Why string
	Hardness    words.Number
}

type task struct {
	Minutes                          words.Number
	Name, Measures, Work, Tempo, Why string
}

// PhoneWide is how many staff spaces fit across a phone.
const PhoneWide = 45

// OutlineHTML writes an outline as one page that needs nothing else: the plan,
// the hard measures, and the music with fingers, hand frames and sections.
func OutlineHTML(w io.Writer, p *piece.Piece, o *outline.Outline, plan practice.Plan, how Options) error {
	s := sheet{Title: clean(outlineTitle(p)), Sitting: sitting(plan), Caution: plan.Caution}
	for _, f := range outlineFacts(p, o) {
		s.Facts = append(s.Facts, fact{f.Name, clean(f.Said)})
	}
	under := map[int][]engraving.Remark{}
	for _, i := range worthACircle(o) {
		m := &o.Measures[i]
		s.Hard = append(s.Hard, circle{clean(m.Number), clean(words.Clauses(m.Reasons...).String()), words.Fixed(m.Hardness, 1)})
		under[i] = []engraving.Remark{{Shape: "ring", Text: words.Row(m.Short[:min(2, len(m.Short))]...).String()}}
	}
	for _, it := range plan.Items {
		name := "report.outline.measure"
		if it.Measures[0] != it.Measures[1] {
			name = "report.outline.measures"
		}
		t := task{words.Whole(it.Minutes), words.Say(name), clean(fromTo(it.Measures).String()), WorkWords(it.Work), tempos(o, it), clean(it.Why)}
		if it.Work == practice.Rest {
			t.Measures = ""
		}
		s.Plan = append(s.Plan, t)
	}
	rows := shiftRows(o, how)
	s.MoveHeads, s.Moves = rows[0], rows[1:]
	for _, c := range plan.Changed {
		s.Changed = append(s.Changed, clean(c))
	}
	for _, other := range o.Others {
		s.Others = append(s.Others, clean(other.Said()))
	}
	for _, r := range o.Remarks {
		s.Remarks = append(s.Remarks, clean(r))
	}
	labels := map[int]string{}
	for i, r := range o.Parts {
		labels[r.First] = fromTo(o.Sections[i]).String()
	}
	for prefix, drawn := range map[string]struct {
		width float64
		into  *template.HTML
	}{"w": {92, &s.Music}, "p": {PhoneWide, &s.Narrow}} {
		page := engraving.Engrave(p, engraving.Options{Width: drawn.width, Plan: &o.Plan, Line: o.Line, Frames: true,
			Strings: how.Strings, Labels: labels, Under: under})
		var music strings.Builder
		if err := page.SVG(&music, engraving.SVGOptions{Title: words.Say("report.outline.drawn"), Prefix: prefix}); err != nil {
			return err
		}
		*drawn.into = template.HTML(music.String())
	}
	return outlineTemplate.Execute(w, s)
}
