package report

import (
	"fmt"
	"io"
	"strings"
	"unicode"
	"unicode/utf8"

	"endpin/piece"
	"endpin/piece/finding"
)

// lineWidth is the most columns that a line of the table takes.
const lineWidth = 100

// Table writes a hearing as plain text: who and what, one row a finding in
// order of the music, what is most worth fixing first, and remarks. No line is
// wider than 100 columns. The error is w's.
func Table(w io.Writer, p *piece.Piece, h *finding.Hearing, o Options) error {
	line, _ := p.Line()
	m := lay(p, line, h)
	parts := []string{head(p, h, o), found(m, h, o), worthFixing(m, h), remarks(h.Remarks)}
	var said []string
	for _, part := range parts {
		if part != "" {
			said = append(said, part)
		}
	}
	_, err := io.WriteString(w, strings.Join(said, "\n"))
	return err
}

func head(p *piece.Piece, h *finding.Hearing, o Options) string {
	var b strings.Builder
	for _, l := range wrap(clean(title(p, h)), lineWidth) {
		b.WriteString(l + "\n")
	}
	for _, f := range facts(h, o) {
		b.WriteString(hanging(pad(f.Name, 11), clean(f.Said)))
	}
	return b.String()
}

// title names the piece, and who wrote it where that is told.
func title(p *piece.Piece, h *finding.Hearing) string {
	s := p.Title
	if s == "" {
		s = h.Piece
	}
	if s == "" {
		s = "A piece without a title"
	}
	if p.Composer != "" {
		s += ", " + p.Composer
	}
	return s
}

// fact is one line of a report's head.
type fact struct{ Name, Said string }

func facts(h *finding.Hearing, o Options) []fact {
	var all []fact
	add := func(name, said string) {
		if said != "" {
			all = append(all, fact{name, said})
		}
	}
	add("player", o.Player)
	add("date", o.Date)
	add("recording", strings.TrimPrefix(h.Recording+", "+minutes(h.Duration), ", "))
	add("tempo", compared(h.TempoHeard, h.TempoAsked, "♩ = %.0f"))
	add("A", compared(h.HeardA, h.ReferenceA, "%.1f Hz"))
	level := h.Level
	if h.Intonation != "" {
		level = strings.TrimPrefix(level+", ", ", ") + h.Intonation + " intonation"
	}
	add("level", level)
	return all
}

// compared sets what was heard beside what was asked for; 0 is unknown.
func compared(heard, asked float64, unit string) string {
	switch {
	case heard > 0 && asked > 0:
		return fmt.Sprintf(unit, heard) + " heard, " + strings.TrimPrefix(fmt.Sprintf(unit, asked), "♩ = ") + " asked for"
	case heard > 0:
		return fmt.Sprintf(unit, heard) + " heard"
	case asked > 0:
		return "not heard; " + fmt.Sprintf(unit, asked) + " asked for"
	}
	return ""
}

// found is the table itself, and the measures that no row is about.
func found(m *music, h *finding.Hearing, o Options) string {
	var b strings.Builder
	if len(h.Findings) == 0 {
		b.WriteString(hanging("", heardPlainly(m, h)))
	} else {
		rows := [][]string{{"Measure", "What was heard", "How much", "How sure"}}
		for i := range h.Findings {
			f := &h.Findings[i]
			rows = append(rows, []string{clean(m.where(f)), clean(m.what(f, h, o)), m.howMuch(f, h), string(f.Trust)})
		}
		b.WriteString(grid(rows, 1, lineWidth))
		b.WriteString("\n")
	}
	for _, s := range m.rest(h) {
		b.WriteString(hanging("", clean(s)))
	}
	return b.String()
}

// heardPlainly says what was heard of a take in which nothing stood out.
func heardPlainly(m *music, h *finding.Hearing) string {
	notes, bars := 0, map[int]bool{}
	for i := range h.Notes {
		n := &h.Notes[i]
		if b := m.barOf(n); b >= 0 && n.Onset != nil {
			notes++
			bars[m.bars[b].Measure] = true
		}
	}
	if notes == 0 {
		return "No notes of this piece were heard."
	}
	return fmt.Sprintf("Heard: %s in %s. Nothing stood out.",
		counted(fmt.Sprint(notes), "note"), counted(fmt.Sprint(len(bars)), "measure"))
}

func worthFixing(m *music, h *finding.Hearing) string {
	sentences := fixFirst(m, h)
	if len(sentences) == 0 {
		return ""
	}
	var b strings.Builder
	b.WriteString("Worth fixing first\n")
	for i, s := range sentences {
		b.WriteString(hanging(fmt.Sprintf("%d. ", i+1), clean(s.sentence())))
	}
	return b.String()
}

// first is one thing most worth fixing. Where is empty where the text says so itself.
type first struct{ Where, Text string }

func (f first) sentence() string {
	if f.Where == "" {
		return f.Text
	}
	return f.Where + ": " + f.Text
}

func fixFirst(m *music, h *finding.Hearing) []first {
	var all []first
	for _, i := range h.WorthFixing {
		if i >= 0 && i < len(h.Findings) {
			f := &h.Findings[i]
			all = append(all, first{m.saidWhere(f), clean(f.Text)})
		}
	}
	return all
}

func remarks(all []string) string {
	if len(all) == 0 {
		return ""
	}
	var b strings.Builder
	b.WriteString("Remarks\n")
	for _, r := range all {
		b.WriteString(hanging("- ", asSentence(r)))
	}
	return b.String()
}

// asSentence begins with a capital letter and ends with a full stop.
func asSentence(s string) string {
	s = clean(s)
	if s == "" {
		return s
	}
	first, size := utf8.DecodeRuneInString(s)
	s = string(unicode.ToUpper(first)) + s[size:]
	if strings.ContainsAny(s[len(s)-1:], ".!?") {
		return s
	}
	return s + "."
}

// hanging sets text after a mark, its further lines under the first.
func hanging(mark, text string) string {
	indent := strings.Repeat(" ", wide(mark))
	return mark + strings.Join(wrap(text, lineWidth-wide(mark)), "\n"+indent) + "\n"
}
