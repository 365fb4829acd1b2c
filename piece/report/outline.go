package report

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"

	"endpin/piece"
	"endpin/piece/outline"
	"endpin/piece/practice"
)

// OutlineTable writes an outline and the plan of a sitting as plain text: the
// sections and what comes again, the measures worth a circle, the shifts, the
// plan. No line is wider than 100 columns. The error is w's.
func OutlineTable(w io.Writer, p *piece.Piece, o *outline.Outline, plan practice.Plan, how Options) error {
	parts := []string{outlineHead(p, o), hardTable(o), shiftTable(o, how), planTable(o, plan), remarks(o.Remarks)}
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
	tempo := feltIn(o, 0).Tempo(o.Tempo)
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

// shiftWords counts the shifts.
func shiftWords(o *outline.Outline) string {
	if n := len(o.Shifts); n > 0 {
		return fmt.Sprintf("%d, listed below", n)
	}
	return "none"
}

// feltIn is the beat felt in a measure; a quarter note where there is none.
func feltIn(o *outline.Outline, measure int) outline.Felt {
	if measure < len(o.Measures) {
		return o.Measures[measure].Felt
	}
	return outline.Felt{}
}

// shiftRows lists the shifts, a row each under a row of headings.
func shiftRows(o *outline.Outline, how Options) [][]string {
	rows := [][]string{{"Measure", "Beat", "Hand", "Semitones", "String", "Fingers", "Over", "Measures held", ""}}
	names := how.Strings
	if names == nil {
		names = bassStrings
	}
	for _, s := range o.Shifts {
		str := fmt.Sprint(s.String)
		if s.String >= 1 && s.String <= len(names) {
			str = names[s.String-1]
		}
		way := "up"
		if s.Semitones < 0 {
			way = "down"
		}
		sure := "marked"
		if s.IfYouShift {
			sure = "if you shift"
		} else if !s.Marked {
			sure = "not marked"
		}
		holds := ""
		if n := len(s.Covers); n > 0 {
			holds = fromTo([2]string{s.Covers[0], s.Covers[n-1]})
		}
		rows = append(rows, []string{clean(s.Measure), fmt.Sprintf("%.3g", s.Beat),
			outline.PositionWords(s.From) + " to " + outline.PositionWords(s.To),
			fmt.Sprintf("%d %s", max(s.Semitones, -s.Semitones), way), clean(str),
			s.FingerFrom + " to " + s.FingerTo, s.CarriedBy, clean(holds), sure})
	}
	return rows
}

func shiftTable(o *outline.Outline, how Options) string {
	if len(o.Shifts) == 0 {
		return ""
	}
	return "Shifts, and the measures that the hand then holds\n" + grid(shiftRows(o, how), 2, lineWidth)
}

// circled are the measures worth a pencil's circle: the hardest, at most this many.
const circled = 8

// worthACircle lists them in order of the music.
func worthACircle(o *outline.Outline) []int {
	order := make([]int, len(o.Measures))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(o.Measures[b].Hardness, o.Measures[a].Hardness) })
	var all []int
	for _, i := range order[:min(circled, len(order))] {
		if o.Measures[i].Hardness >= 0.5 {
			all = append(all, i)
		}
	}
	slices.Sort(all)
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

// WorkWords says how a way of working is called: "bring up".
func WorkWords(w practice.Work) string { return worked[w] }

func planTable(o *outline.Outline, plan practice.Plan) string {
	if len(plan.Items) == 0 {
		return ""
	}
	var b strings.Builder
	b.WriteString(sitting(plan) + "\n")
	rows := [][]string{{"", "min", "Measures", "Work", "Tempo", "Why"}}
	for i, it := range plan.Items {
		measures := fromTo(it.Measures)
		if it.Work == practice.Rest {
			measures = ""
		}
		rows = append(rows, []string{fmt.Sprintf("%d.", i+1), fmt.Sprintf("%.0f", it.Minutes), clean(measures), worked[it.Work], tempos(o, it), clean(it.Why)})
	}
	b.WriteString(grid(rows, 5, lineWidth))
	for _, c := range plan.Changed {
		b.WriteString(hanging("- ", asSentence(c)))
	}
	b.WriteString(hanging("", plan.Caution))
	return b.String()
}

// tempos are the tempo of an item, or where its steps begin and end.
func tempos(o *outline.Outline, it practice.Item) string {
	felt := feltIn(o, it.Range.First)
	switch {
	case it.TempoTo == 0:
		return ""
	case it.TempoFrom == it.TempoTo:
		return felt.Tempo(it.TempoTo)
	case it.Work == practice.Join:
		return fmt.Sprintf("%s, %.0f", felt.Tempo(it.TempoFrom), felt.PerMinute(it.TempoTo))
	}
	return fmt.Sprintf("%s to %.0f by %.3g", felt.Tempo(it.TempoFrom), felt.PerMinute(it.TempoTo), felt.PerMinute(it.Step))
}

// sitting names a plan, and says where the piece does not fill the minutes.
func sitting(plan practice.Plan) string {
	s := fmt.Sprintf("A sitting of %d minutes", plan.Minutes)
	if needs := plan.Needs(); needs < plan.Minutes {
		s += fmt.Sprintf(", of which this piece needs %d", needs)
	}
	return s
}
