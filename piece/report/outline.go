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
	"endpin/piece/report/paper"
	"endpin/piece/words"
)

// OutlineTable writes an outline and the plan of a sitting as plain text: the
// sections and what comes again, the measures worth a circle, the shifts, the
// plan. No line is wider than 100 columns. The error is w's.
func OutlineTable(w io.Writer, p *piece.Piece, o *outline.Outline, plan practice.Plan, how Options) error {
	parts := []string{outlineHead(p, o), hardTable(o), shiftTable(o, how), otherWays(o), planTable(o, plan), remarks(o.Remarks)}
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
	b.WriteString(listed(outlineFacts(p, o), 12))
	return b.String()
}

func outlineTitle(p *piece.Piece) string { return titled(p, p.Title) }

func outlineFacts(p *piece.Piece, o *outline.Outline) []fact {
	tempo := feltIn(o, 0).Tempo(o.Tempo)
	if o.Assumed {
		tempo = words.Say("report.outline.tempo.assumed", "tempo", tempo)
	}
	var facts []fact
	if p.Taken != "" {
		facts = append(facts, fact{words.Say("report.head.part"), p.Taken})
	}
	facts = append(facts, fact{words.Say("report.outline.tempo"), tempo})
	if len(o.Sections) > 0 {
		var ranges []words.Sentence
		for _, s := range o.Sections {
			ranges = append(ranges, fromTo(s))
		}
		facts = append(facts, fact{words.Say("report.outline.sections"), words.Say("report.outline.sections.by", "ranges", words.Row(ranges...), "how", o.Division)})
	}
	if again := sameWords(o); len(again) > 0 {
		facts = append(facts, fact{words.Say("report.outline.again"), words.Clauses(again...).String()})
	}
	return append(facts, fact{words.Say("report.outline.shifts"), shiftWords(o)})
}

// fromTo is a range as it is printed.
func fromTo(r [2]string) words.Sentence {
	if r[0] == r[1] {
		return words.Of("report.where.measure", "from", r[0])
	}
	return words.Of("report.where.measures.paper", "from", r[0], "to", r[1])
}

func sameWords(o *outline.Outline) (all []words.Sentence) {
	for _, s := range o.Same {
		key := "report.outline.same"
		switch {
		case s.How == outline.EndingDiffers:
			key = "report.outline.same.ending"
		case s.How == outline.Transposed && s.By > 0:
			key = "report.outline.same.higher"
		case s.How == outline.Transposed:
			key = "report.outline.same.lower"
		}
		all = append(all, words.Many(key, max(s.By, -s.By), "again", fromTo(s.As), "first", fromTo(s.From)))
	}
	return all
}

// shiftWords counts the shifts.
func shiftWords(o *outline.Outline) string {
	if n := len(o.Shifts); n > 0 {
		return words.Many("report.outline.shifts.listed", n).String()
	}
	return words.Say("report.outline.shifts.none")
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
	rows := [][]string{append(headings("report.shifts.", "measure", "beat", "hand", "semitones", "string", "fingers", "over", "held"), "")}
	names := how.Strings
	if names == nil {
		names = paper.BassStrings
	}
	for _, s := range o.Shifts {
		str := fmt.Sprint(s.String)
		if s.String >= 1 && s.String <= len(names) {
			str = words.OpenString(names[s.String-1]).String()
		}
		way := "report.shifts.up"
		if s.Semitones < 0 {
			way = "report.shifts.down"
		}
		sure := "report.shifts.marked"
		if s.IfYouShift {
			sure = "report.shifts.if"
		} else if !s.Marked {
			sure = "report.shifts.not-marked"
		}
		holds := ""
		if n := len(s.Covers); n > 0 {
			holds = fromTo([2]string{s.Covers[0], s.Covers[n-1]}).String()
		}
		rows = append(rows, []string{clean(s.Measure), words.Significant(s.Beat, 3).String(),
			words.Say("report.shifts.from-to", "from", words.Position(s.From).Printed(), "to", words.Position(s.To).Printed()),
			words.Say(way, "n", max(s.Semitones, -s.Semitones)), clean(str),
			words.Say("report.shifts.from-to", "from", s.FingerFrom, "to", s.FingerTo), over(s.CarriedBy), clean(holds), words.Say(sure)})
	}
	return rows
}

// over names what gives the hand time to move, "" for a change of bow alone.
func over(carrier string) string {
	if carrier == "" {
		return ""
	}
	return words.Say("report.shifts.over." + strings.ReplaceAll(carrier, " ", "-"))
}

func shiftTable(o *outline.Outline, how Options) string {
	if len(o.Shifts) == 0 {
		return ""
	}
	return words.Say("report.shifts.head") + "\n" + grid(shiftRows(o, how), 2, lineWidth)
}

func otherWays(o *outline.Outline) string {
	var said []string
	for _, other := range o.Others {
		said = append(said, other.Said())
	}
	return dashed("report.others", said)
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
		return words.Say("report.hard.none") + "\n"
	}
	rows := [][]string{headings("report.hard.", "measure", "why-hard", "how")}
	for _, i := range all {
		m := &o.Measures[i]
		rows = append(rows, []string{clean(m.Number), clean(words.Clauses(m.Reasons...).String()), words.Fixed(m.Hardness, 1).String()})
	}
	return grid(rows, 1, lineWidth) + words.Say("report.hard.scale") + "\n"
}

// WorkWords says how a way of working is called: "bring up".
func WorkWords(w practice.Work) string { return words.Say("report.work." + string(w)) }

func planTable(o *outline.Outline, plan practice.Plan) string {
	if len(plan.Items) == 0 {
		return ""
	}
	var b strings.Builder
	b.WriteString(sitting(plan) + "\n")
	rows := [][]string{append([]string{""}, headings("report.plan.", "min", "measures", "work", "tempo", "why")...)}
	for i, it := range plan.Items {
		measures := fromTo(it.Measures).String()
		if it.Work == practice.Rest {
			measures = ""
		}
		rows = append(rows, []string{fmt.Sprintf("%d.", i+1), words.Whole(it.Minutes).String(), clean(measures), WorkWords(it.Work), tempos(o, it), clean(it.Why)})
	}
	b.WriteString(grid(rows, 5, lineWidth))
	for _, c := range plan.Changed {
		b.WriteString(hanging("- ", clean(c)))
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
		return words.Say("report.plan.tempo.then", "from", felt.Tempo(it.TempoFrom), "to", words.Whole(felt.PerMinute(it.TempoTo)))
	}
	return words.Say("report.plan.tempo.up", "from", felt.Tempo(it.TempoFrom), "to", words.Whole(felt.PerMinute(it.TempoTo)), "by", words.Significant(felt.PerMinute(it.Step), 3))
}

// sitting names a plan, and says where the piece does not fill the minutes.
func sitting(plan practice.Plan) string {
	key, needs := "report.plan.sitting", plan.Needs()
	if needs < plan.Minutes {
		key = "report.plan.sitting.needs"
	}
	return words.Many(key, plan.Minutes, "needs", needs).String()
}
