package sheets

import (
	"bytes"
	"encoding/base64"
	"fmt"
	"html/template"
	"io"
	"slices"
	"strconv"
	"strings"
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
	"endpin/piece/report"
	"endpin/piece/words"
)

// StudentOptions are what a student's page tells beside what was heard, and how.
type StudentOptions struct {
	Sound  []map[int][]byte // WAV files by index into the findings, a map a part; nil for none
	Remark string           // the teacher's for the class
	Line   string           // and for the student
	Before *class.Line      // the teacher's last one; nil for none
	Seen   bool             // the teacher has seen it
	Struck func(class.Strike) bool
	Home   bool   // as it goes home: nothing to press but the sound, and nothing struck
	Paper  string // "A4" or "Letter"; "" for what the printer has
}

// studentSheet is what a student's template is filled with.
type studentSheet struct {
	Name, Title string
	Date        string // when it was played
	Remark      string
	Line        string
	Before      string
	Parts       []studentPart
	AtHome      string
	Sound       string // how much of it the page holds, kB; "" for nothing
	Said        class.Saved
	Home, Seen  bool
	Paper       string
}

// studentPart is what is told of one piece.
type studentPart struct {
	Title     string // with the day it was played; "" where there is but one
	Recording string
	Stops     string // where the take does not hold the whole piece
	Moved     string // since last week, or the take before
	Well      []string
	Work      []work
	Nothing   string // what is said where there is nothing to work on
	Doubt     string
}

type work struct {
	ID       string
	Where    string
	Shape    string
	Hollow   bool
	Struck   bool
	Text     string
	Notation template.HTML
	On       string // how far it goes on beyond what is drawn
	Begin    string
	Sound    template.URL
	At       words.Duration
}

// anchor names a thing to work on within a page.
func anchor(part, n int) string {
	if part == 0 {
		return fmt.Sprintf("w%d", n)
	}
	return fmt.Sprintf("p%dw%d", part+1, n)
}

// StudentHTML writes a student's own page: of each piece what went well and at most three
// things to work on. The error is w's.
func StudentHTML(w io.Writer, g *class.Page, o StudentOptions) error {
	pg := studentSheet{Name: outside.Line(g.Name), Title: outside.Line(g.Name), Remark: outside.Line(o.Remark), Line: outside.Line(o.Line), Home: o.Home, Seen: o.Seen, Paper: o.Paper,
		Said: class.Saved{Version: 1, Student: g.Name, At: g.At(), Page: g.Ident(), Told: []class.Strike{}, Struck: []int{}, Line: o.Line, Seen: o.Seen}}
	if o.Before != nil {
		pg.Before = outside.Line(o.Before.Text)
	}
	var newest time.Time
	bytesOfSound := 0
	var practice []words.Sentence // of each piece
	things := 0
	for k, part := range g.Parts {
		if part.Student.At.After(newest) {
			newest = part.Student.At
		}
		var moments map[int][]byte
		if k < len(o.Sound) {
			moments = o.Sound[k]
		}
		told, work := partOf(part, k, o, moments, &pg.Said, &bytesOfSound)
		if things += len(work); len(work) > 0 && len(g.Parts) > 1 {
			practice = append(practice, words.Of("report.student.home.of", "title", outside.Line(part.Title), "what", words.Row(work...)))
		} else {
			practice = append(practice, work...)
		}
		if at := part.Student.At; len(g.Parts) > 1 && at.IsZero() {
			told.Title = outside.Line(part.Title)
		} else if len(g.Parts) > 1 {
			told.Title = words.Say("report.student.part", "title", outside.Line(part.Title), "date", words.Day(at))
		} else {
			pg.Title = outside.Line(part.Title)
		}
		pg.Parts = append(pg.Parts, told)
	}
	if !newest.IsZero() {
		pg.Date = words.Day(newest).String()
	}
	if len(practice) > 0 {
		pg.AtHome = words.Say("report.student.home", "minutes", min(mostMinutes, thingMinutes*things), "what", words.Row(practice...))
	}
	if bytesOfSound > 0 {
		pg.Sound = strconv.Itoa((bytesOfSound + 500) / 1000)
	}
	return classTemplates.ExecuteTemplate(w, "student.gohtml", pg)
}

// strong says a message whose places stand out.
func strong(key string, places ...any) template.HTML {
	const from, to = "\ue000", "\ue001" // for private use: in no text
	for i := 1; i < len(places); i += 2 {
		places[i] = from + fmt.Sprint(places[i]) + to
	}
	said := template.HTMLEscapeString(words.Say(key, places...))
	return template.HTML(strings.NewReplacer(from, "<b>", to, "</b>").Replace(said))
}

// How long a student is to work at home on one thing, and on all together, minutes a day:
// then hand and attention tire (common practice, no source).
const (
	thingMinutes = 5
	mostMinutes  = 20
)

// partOf tells of one piece, and what of it to practise.
func partOf(g class.Part, k int, o StudentOptions, moments map[int][]byte, saved *class.Saved, bytesOfSound *int) (pg studentPart, practice []words.Sentence) {
	p, st := g.Piece, g.Student
	pg = studentPart{Doubt: outside.Line(st.Reason), Moved: outside.Line(st.Moved)}
	if st.Recording != nil {
		pg.Recording = outside.Line(*st.Recording)
	}
	h := st.Hearing
	if h == nil {
		return pg, nil
	}
	pg.Stops, pg.Well, pg.Nothing = outside.Line(class.Stops(h)), gist.Praise(p, h), nothing(p, h)
	asked, _ := outline.Of(p, outline.Options{}) // nil where the piece has none: then nothing sets a floor
	for n, i := range st.Given() {
		f := &st.Findings[i]
		s := class.StrikeOf(g.Title, f)
		struck := o.Struck != nil && o.Struck(s)
		if struck && o.Home {
			continue
		}
		if struck {
			saved.Struck = append(saved.Struck, len(saved.Told))
		}
		saved.Told = append(saved.Told, s)
		x := work{ID: anchor(k, n+1), Shape: string(f.Kind.Row().Shape), Hollow: f.Trust != dsp.Sure, Struck: struck, Text: outside.Line(f.Text), At: words.Duration(f.At)}
		place := "whole"
		switch {
		case class.Throughout(h, f):
			x.Where = words.Say("report.student.whole")
		case f.ToMeasure != f.Measure:
			place, x.Where = "measures", words.Say("report.student.measures", "from", f.Measure, "to", f.ToMeasure)
		default:
			place, x.Where = "measure", words.Say("report.student.measure", "measure", f.Measure)
		}
		qpm := 0.0
		if !class.Throughout(h, f) {
			x.Notation, x.On = engraved(p, h, f, 10*k+n)
			if qpm = class.Begin(h, floor(p, asked, f)); qpm > 0 {
				x.Begin = words.Say("report.amount.tempo", "qpm", words.Whole(qpm))
			}
		}
		if !struck {
			if qpm > 0 {
				place += ".from"
			}
			item := words.Of("report.student.home."+place, "measure", f.Measure, "from", f.Measure, "to", f.ToMeasure, "tempo", x.Begin)
			if !slices.ContainsFunc(practice, func(s words.Sentence) bool { return s.String() == item.String() }) {
				practice = append(practice, item)
			}
		}
		if wav := moments[i]; len(wav) > 0 {
			*bytesOfSound += len(wav)
			x.Sound = template.URL("data:audio/wav;base64," + base64.StdEncoding.EncodeToString(wav))
		}
		pg.Work = append(pg.Work, x)
	}
	return pg, practice
}

// nothing says that nothing is to be worked on: of a take that was heard for certain, and of
// no more of the piece than it holds.
func nothing(p *piece.Piece, h *finding.Hearing) string {
	switch {
	case !h.Judged(p):
		return words.Say("report.student.nothing.not-sure")
	case class.Stops(h) != "":
		return words.Say("report.student.nothing.so-far")
	}
	return words.Say("report.student.nothing")
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

// engraved draws the measures of a finding with the notes meant, and says how it goes on
// where they are many; nothing where they cannot be found.
func engraved(p *piece.Piece, h *finding.Hearing, f *finding.Finding, n int) (drawn template.HTML, on string) {
	first, last, err := p.Select(f.Measure)
	if err != nil {
		return "", ""
	}
	if _, to, err := p.Select(f.ToMeasure); err == nil && to > last {
		if last = min(to, first+mostEngraved-1); last < to {
			on = words.Say("report.student.goes-on", "from", f.Measure, "to", outside.Line(p.Measures[last].Number), "on", f.ToMeasure)
		}
	}
	var b bytes.Buffer
	page := engraving.Engrave(p, engraving.Options{First: first, Count: last - first + 1, Width: report.PhoneWide, Meant: report.Meant(p, h, f)})
	if err := page.SVG(&b, engraving.SVGOptions{Prefix: fmt.Sprintf("n%d", n), Title: words.Say("report.page.panel", "from", f.Measure, "to", f.ToMeasure)}); err != nil {
		return "", ""
	}
	return template.HTML(b.String()), on
}
