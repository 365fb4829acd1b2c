package report

import (
	"fmt"
	"io"
	"strings"

	"endpin/piece"
	"endpin/piece/outline"
	"endpin/piece/practice"
)

// OutlineTable writes an outline and the plan of a sitting as plain text: the
// sections and what comes again, the measures worth a circle, the shifts, the
// plan. No line is wider than 100 columns. The error is w's.
func OutlineTable(w io.Writer, p *piece.Piece, o *outline.Outline, plan practice.Plan, how Options) error {
	parts := []string{outlineHead(p, o), hardTable(o), planTable(plan), notable(o)}
	var said []string
	for _, part := range parts {
		if part != "" {
			said = append(said, part)
		}
	}
	_, err := io.WriteString(w, strings.Join(said, "\n"))
	return err
}

func outlineHead(p *piece.Piece, o *outline.Outline) string {
	var b strings.Builder
	for _, l := range wrap(clean(outlineTitle(p)), lineWidth) {
		b.WriteString(l + "\n")
	}
	for _, f := range outlineFacts(o) {
		b.WriteString(hanging(pad(f.Name, 12), clean(f.Said)))
	}
	return b.String()
}

func outlineTitle(p *piece.Piece) string {
	s := p.Title
	if s == "" {
		s = "A piece without a title"
	}
	if p.Composer != "" {
		s += ", " + p.Composer
	}
	return s
}

func outlineFacts(o *outline.Outline) []fact {
	tempo := fmt.Sprintf("♩ = %.0f", o.Tempo)
	if o.Assumed {
		tempo += ", assumed: the piece tells none"
	}
	facts := []fact{{"tempo", tempo}}
	if len(o.Sections) > 0 {
		var ranges []string
		for _, s := range o.Sections {
			ranges = append(ranges, fromTo(s))
		}
		facts = append(facts, fact{"sections", strings.Join(ranges, ", ") + " (" + o.Division + ")"})
	}
	if again := sameWords(o); len(again) > 0 {
		facts = append(facts, fact{"comes again", strings.Join(again, "; ")})
	}
	if shifts := shiftWords(o); shifts != "" {
		facts = append(facts, fact{"shifts", shifts})
	}
	return facts
}

// fromTo is a range as it is printed.
func fromTo(r [2]string) string {
	if r[0] == r[1] {
		return r[0]
	}
	return r[0] + "–" + r[1]
}

func sameWords(o *outline.Outline) []string {
	var all []string
	for _, s := range o.Same {
		text := fromTo(s.As) + " as " + fromTo(s.From)
		switch s.How {
		case outline.EndingDiffers:
			text += ", but for the ending"
		case outline.Transposed:
			text += fmt.Sprintf(", %d semitones %s", max(s.By, -s.By), map[bool]string{true: "higher", false: "lower"}[s.By > 0])
		}
		all = append(all, text)
	}
	return all
}

// shiftWords counts the shifts and names their measures.
func shiftWords(o *outline.Outline) string {
	var in []string
	for _, s := range o.Shifts {
		if len(in) == 0 || in[len(in)-1] != s.Measure {
			in = append(in, s.Measure)
		}
	}
	if len(in) == 0 {
		return "none"
	}
	return fmt.Sprintf("%d, in measures %s", len(o.Shifts), strings.Join(in, ", "))
}

// circled are the measures worth a pencil's circle: the hardest, at most this many.
const circled = 8

// worthACircle lists them in order of the music.
func worthACircle(o *outline.Outline) []int {
	var all []int
	for i := range o.Measures {
		harder := 0
		for k := range o.Measures {
			if o.Measures[k].Hardness > o.Measures[i].Hardness || o.Measures[k].Hardness == o.Measures[i].Hardness && k < i {
				harder++
			}
		}
		if harder < circled && o.Measures[i].Hardness >= 0.5 {
			all = append(all, i)
		}
	}
	return all
}

func hardTable(o *outline.Outline) string {
	all := worthACircle(o)
	if len(all) == 0 {
		return "No measure stands out as hard.\n"
	}
	rows := [][]string{{"Measure", "Why it is hard", "How hard"}}
	for _, i := range all {
		m := &o.Measures[i]
		rows = append(rows, []string{clean(m.Number), clean(strings.Join(m.Reasons, "; ")), fmt.Sprintf("%.1f", m.Hardness)})
	}
	return grid(rows, 1, lineWidth) + "How hard: 1 is about one plain shift (common practice, no source).\n"
}

// worked says how each way of working is called in a plan.
var worked = map[practice.Work]string{
	practice.BowSilently: "bow silently", practice.Echo: "echo", practice.WorkUp: "bring up",
	practice.PlayAlone: "play alone", practice.Join: "join", practice.Rest: "rest",
}

func planTable(plan practice.Plan) string {
	if len(plan.Items) == 0 {
		return ""
	}
	var b strings.Builder
	fmt.Fprintf(&b, "A sitting of %d minutes\n", plan.Minutes)
	rows := [][]string{{"", "min", "Measures", "Work", "♩ =", "Why"}}
	for i, it := range plan.Items {
		measures := fromTo(it.Measures)
		if it.Work == practice.Rest {
			measures = ""
		}
		rows = append(rows, []string{fmt.Sprintf("%d.", i+1), fmt.Sprintf("%.0f", it.Minutes), clean(measures), worked[it.Work], tempos(it), clean(it.Why)})
	}
	b.WriteString(grid(rows, 5, lineWidth))
	for _, c := range plan.Changed {
		b.WriteString(hanging("- ", asSentence(c)))
	}
	b.WriteString(hanging("", plan.Caution))
	return b.String()
}

// tempos are the tempo of an item, or where its steps begin and end.
func tempos(it practice.Item) string {
	switch {
	case it.TempoTo == 0:
		return ""
	case it.TempoFrom == it.TempoTo:
		return fmt.Sprintf("%.0f", it.TempoTo)
	}
	return fmt.Sprintf("%.0f to %.0f by %.0f", it.TempoFrom, it.TempoTo, it.Step)
}

func notable(o *outline.Outline) string {
	if len(o.Remarks) == 0 {
		return ""
	}
	var b strings.Builder
	b.WriteString("Remarks\n")
	for _, r := range o.Remarks {
		b.WriteString(hanging("- ", asSentence(r)))
	}
	return b.String()
}
