package report

import (
	"fmt"
	"io"
	"strings"

	"endpin/dsp"
	"endpin/piece"
	"endpin/piece/finding"
	"endpin/piece/gist"
	"endpin/piece/words"
)

// lineWidth is the most columns that a line of the table takes.
const lineWidth = 100

// Table writes a hearing as plain text: what it was and the whole of it in a sentence, who
// and what, one row a finding in order of the music (one for many of a kind), what is most worth fixing first, and remarks. No line is
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
	b.WriteString(hanging("", clean(title(p, h))))
	b.WriteString(hanging("", clean(gist.Of(p, h).String())))
	b.WriteString(listed(facts(p, h, o), 11))
	return b.String()
}

// listed writes facts, each after its name in a column at least so wide.
func listed(facts []fact, width int) string {
	for _, f := range facts {
		width = max(width, wide(f.Name)+1)
	}
	var b strings.Builder
	for _, f := range facts {
		b.WriteString(hanging(pad(f.Name, width), clean(f.Said)))
	}
	return b.String()
}

// title names the piece, and who wrote it where that is told.
func title(p *piece.Piece, h *finding.Hearing) string {
	if p.Title != "" {
		return titled(p, p.Title)
	}
	return titled(p, h.Piece)
}

// titled is a title with who wrote it.
func titled(p *piece.Piece, title string) string {
	if title == "" {
		title = words.Say("report.untitled")
	}
	if p.Composer == "" {
		return title
	}
	return words.Say("report.titled", "title", title, "composer", p.Composer)
}

// fact is one line of a report's head.
type fact struct{ Name, Said string }

func facts(p *piece.Piece, h *finding.Hearing, o Options) []fact {
	var all []fact
	add := func(name, said string) {
		if said != "" {
			all = append(all, fact{words.Say("report.head." + name), said})
		}
	}
	add("player", o.Player)
	add("date", o.Date)
	add("part", p.Taken)
	recording := words.Of("report.head.recording.length", "time", words.Duration(h.Duration))
	if h.Recording != "" {
		recording = words.Of("report.head.recording.named", "name", h.Recording, "time", words.Duration(h.Duration))
	}
	add("recording", recording.String())
	add("tempo", compared("report.head.tempo", h.TempoHeard, h.TempoAsked, 0))
	add("a", reference(h))
	add("level", level(h))
	return all
}

// reference is the A that was heard, as surely as that is known.
func reference(h *finding.Hearing) string {
	say := func(key string, digits int) string {
		return words.Say("report.head.a."+key, "heard", words.Fixed(h.HeardA, digits), "asked", words.Fixed(h.ReferenceA, 1), "from", h.AFrom)
	}
	switch {
	case h.HeardA <= 0 || h.ReferenceA <= 0:
		return compared("report.head.a", h.HeardA, h.ReferenceA, 1)
	case h.AFrom != "":
		return say("given", 1)
	case h.HeardATrust == dsp.NotSure:
		return say("unsure", 1)
	case h.HeardATrust == dsp.Fair:
		return say("about", 0)
	}
	return say("both", 1)
}

// level is how strictly a take was judged, and by which intonation.
func level(h *finding.Hearing) string {
	switch {
	case h.Intonation == "" && h.Level == "":
		return ""
	case h.Intonation == "":
		return words.Say("window.level." + h.Level)
	case h.Level == "":
		return words.Say("report.head.level.intonation", "intonation", words.Of("window.settings.intonation."+h.Intonation))
	}
	return words.Say("report.head.level.both", "level", words.Of("window.level."+h.Level), "intonation", words.Of("window.settings.intonation."+h.Intonation))
}

// compared sets what was heard beside what was asked for; 0 is unknown.
func compared(key string, heard, asked float64, digits int) string {
	switch {
	case heard > 0 && asked > 0:
		key += ".both"
	case heard > 0:
		key += ".heard"
	case asked > 0:
		key += ".asked"
	default:
		return ""
	}
	return words.Say(key, "heard", words.Fixed(heard, digits), "asked", words.Fixed(asked, digits))
}

// headings are those of a table.
func headings(room string, columns ...string) (all []string) {
	for _, c := range columns {
		all = append(all, words.Say(room+c))
	}
	return all
}

// found is the table itself, and the measures that no row is about.
func found(m *music, h *finding.Hearing, o Options) string {
	var b strings.Builder
	if len(h.Findings) == 0 {
		b.WriteString(hanging("", heardPlainly(m, h)))
	} else {
		rows := [][]string{headings("report.table.", "measure", "what", "amount", "trust")}
		for _, a := range m.gathered(h) {
			rows = append(rows, []string{clean(a.where(m, h)), clean(a.what(m, h, o)), a.howMuch(m, h), trustWord(h.Findings[a.worst].Trust)})
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
		return words.Say("report.heard.nothing")
	}
	return words.Say("report.heard", "notes", words.Many("report.heard.notes", notes), "measures", words.Many("report.heard.measures", len(bars)))
}

func worthFixing(m *music, h *finding.Hearing) string {
	sentences := fixFirst(m, h)
	if len(sentences) == 0 {
		return ""
	}
	var b strings.Builder
	b.WriteString(words.Say("report.worth") + "\n")
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
	return words.Say("report.first", "where", f.Where, "text", f.Text)
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

func remarks(all []string) string { return dashed("report.remarks", all) }

// dashed lists sentences behind dashes, under a heading; nothing where there are none.
func dashed(head string, all []string) string {
	if len(all) == 0 {
		return ""
	}
	var b strings.Builder
	b.WriteString(words.Say(head) + "\n")
	for _, r := range all {
		b.WriteString(hanging("- ", clean(r)))
	}
	return b.String()
}

// hanging sets text after a mark, its further lines under the first.
func hanging(mark, text string) string {
	indent := strings.Repeat(" ", wide(mark))
	return mark + strings.Join(wrap(text, lineWidth-wide(mark)), "\n"+indent) + "\n"
}
