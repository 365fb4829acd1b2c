package class

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"endpin/piece"
	"endpin/piece/finding"
)

// Remarks are what a teacher adds to the pages of a class: kept from run to run, and from week
// to week.
type Remarks struct {
	Version int      `json:"version"`
	Class   string   `json:"class"`           // stands at the head of each page
	Paper   string   `json:"paper,omitempty"` // that the pages are printed on; "" for what the printer has
	Of      []Own    `json:"students"`
	Read    []string `json:"read"` // of saved pages that were read back, what tells each from others
}

// Own is what the teacher added for one student.
type Own struct {
	Name   string   `json:"name"`
	Struck []Strike `json:"struck"`
	Lines  []Line   `json:"lines"` // the last for the newest take
	Seen   string   `json:"seen"`  // the page that may go home (see Ident); "" for none
}

// Strike is a finding that is not to be told: of this take, and where the same is heard of the
// same note again.
type Strike struct {
	Piece   string       `json:"piece"`
	Measure string       `json:"measure"`
	Pass    int          `json:"pass"`
	Beat    float64      `json:"beat"`
	Kind    finding.Kind `json:"kind"`
}

// Line is a line of the teacher's own on a student's page.
type Line struct {
	At   string `json:"at"` // when the newest take of that page was played, ISO 8601; "" where not known
	Text string `json:"text"`
}

// StrikeOf names a finding in a take of a piece.
func StrikeOf(title string, f *finding.Finding) Strike {
	return Strike{title, f.Measure, f.Pass, f.Beat, f.Kind}
}

func (s Strike) same(t Strike) bool {
	return s.Piece == t.Piece && s.Measure == t.Measure && s.Pass == t.Pass && s.Kind == t.Kind && math.Abs(s.Beat-t.Beat) < 0.002
}

// For is what was added for a student, made where there is nothing yet.
func (r *Remarks) For(name string) *Own {
	for i := range r.Of {
		if key(r.Of[i].Name) == key(name) {
			return &r.Of[i]
		}
	}
	r.Of = append(r.Of, Own{Name: name, Struck: []Strike{}, Lines: []Line{}})
	return &r.Of[len(r.Of)-1]
}

// Strike strikes a finding, or puts it back.
func (o *Own) Strike(s Strike, struck bool) {
	o.Struck = slices.DeleteFunc(o.Struck, s.same)
	if struck {
		o.Struck = append(o.Struck, s)
	}
}

// Strikes reports whether a finding is struck.
func (o *Own) Strikes(s Strike) bool { return slices.ContainsFunc(o.Struck, s.same) }

// Say writes the line on the page of takes of a time, in place of what stood there; "" takes it
// away.
func (o *Own) Say(at, text string) {
	o.Lines = slices.DeleteFunc(o.Lines, func(l Line) bool { return l.At == at })
	if text = strings.TrimSpace(text); text != "" {
		o.Lines = append(o.Lines, Line{at, text})
		slices.SortStableFunc(o.Lines, func(a, b Line) int { return strings.Compare(a.At, b.At) })
	}
}

// Line is the line on the page of takes of a time, and the last one on a page before it.
func (o *Own) Line(at string) (now string, before *Line) {
	for i := range o.Lines {
		switch l := &o.Lines[i]; {
		case l.At == at:
			now = l.Text
		case l.At < at:
			before = l
		}
	}
	return now, before
}

// Apply takes struck findings out of what a sheet tells: no page gives them to work on, no
// column counts them, and the table says that they are struck.
func (r *Remarks) Apply(p *piece.Piece, s *Sheet) {
	for i := range s.Students {
		st := &s.Students[i]
		own := r.For(st.Name)
		st.Struck = nil
		for k := range st.Findings {
			if own.Strikes(StrikeOf(s.Piece, &st.Findings[k])) {
				st.Struck = append(st.Struck, k)
			}
		}
		if st.given == nil {
			st.given = slices.Clone(st.WorthFixing)
		}
		st.WorthFixing = slices.DeleteFunc(slices.Clone(st.given), func(k int) bool { return slices.Contains(st.Struck, k) })
	}
	s.Reteach, s.Remark = reteach(p, s), r.Class
}

// Page is a student's own: what was heard of each piece that he or she plays.
type Page struct {
	Name  string
	Parts []Part
}

// Part is one piece of a student's page.
type Part struct {
	Piece   *piece.Piece
	Title   string
	Student *Student
}

// PagesOf gathers the pages of all who were heard, by name in the order of the sheets. titles
// of the sheets and pieces go together.
func PagesOf(pieces []*piece.Piece, sheets []*Sheet) (pages []Page) {
	at := map[string]int{}
	for k, s := range sheets {
		for i := range s.Students {
			st := &s.Students[i]
			if st.Hearing == nil {
				continue
			}
			n, known := at[st.Name]
			if !known {
				n = len(pages)
				at[st.Name] = n
				pages = append(pages, Page{Name: st.Name})
			}
			pages[n].Parts = append(pages[n].Parts, Part{pieces[k], s.Piece, st})
		}
	}
	return pages
}

// At is when the newest take on the page was played, ISO 8601; "" where that is not known.
func (g *Page) At() string {
	var newest time.Time
	for _, p := range g.Parts {
		if p.Student.At.After(newest) {
			newest = p.Student.At
		}
	}
	return iso(newest)
}

// Add writes what the teacher added into the students of a page.
func (r *Remarks) Add(g *Page) {
	own := r.For(g.Name)
	line, _ := own.Line(g.At())
	for _, p := range g.Parts {
		p.Student.Line, p.Student.Seen = line, own.Seen == g.Ident()
	}
}

// Copied is a sheet to which something may be added while the first is looked at.
func (s *Sheet) Copied() *Sheet {
	c := *s
	c.Students = slices.Clone(s.Students)
	return &c
}

// Ident tells what a page says of the takes, without the teacher's own, from what any other
// says: whoever has seen that may send the page.
func (g *Page) Ident() string {
	h := sha256.New()
	for _, p := range g.Parts {
		recording := ""
		if p.Student.Recording != nil {
			recording = *p.Student.Recording
		}
		fmt.Fprintf(h, "%s\x00%s\x00%s\x00%s\x00", p.Title, recording, p.Student.PlayedAt, iso(p.Student.Since))
		for _, k := range p.Student.Given() {
			f := &p.Student.Findings[k]
			fmt.Fprintf(h, "%v\x00%s\x00%.3f\x00%s\x00", StrikeOf(p.Title, f), f.ToMeasure, f.Value, f.Trust) // in any language
		}
	}
	return hex.EncodeToString(h.Sum(nil)[:12])
}

// Saved is what a page that was saved from a browser says of itself.
type Saved struct {
	Version int      `json:"version"`
	Student string   `json:"student"`
	At      string   `json:"at"`
	Page    string   `json:"page"`   // Ident
	Told    []Strike `json:"told"`   // what stood on it
	Struck  []int    `json:"struck"` // indexes into Told
	Line    string   `json:"line"`
	Seen    bool     `json:"seen"`
	Saved   bool     `json:"saved"` // by the teacher: a page as it was written is not
}

// Take takes in what a saved page says; id tells it from other pages that were read.
func (r *Remarks) Take(s *Saved, id string) (new bool) {
	if !s.Saved || s.Student == "" || slices.Contains(r.Read, id) {
		return false
	}
	r.Read = append(r.Read, id)
	own := r.For(s.Student)
	for i, t := range s.Told {
		own.Strike(t, slices.Contains(s.Struck, i))
	}
	own.Say(s.At, s.Line)
	if own.Seen == s.Page {
		own.Seen = ""
	}
	if s.Seen {
		own.Seen = s.Page
	}
	return true
}
