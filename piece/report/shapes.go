package report

import (
	"endpin/dsp"
	"endpin/piece/finding"
	"endpin/piece/words"
)

// shape is the drawing that stands for a kind; shapes.svg draws each under this name.
func shape(k finding.Kind) string { return string(k.Row().Shape) }

// brief is the word and number that stand beside a shape: the finding's own,
// or where it has none its kind and value.
func (m *music) brief(f *finding.Finding, h *finding.Hearing) string {
	switch {
	case m.paper && f.Short != "" && !f.Said.Zero():
		return clean(f.Mark(finding.FullMark).String())
	case f.Short != "":
		return clean(f.Short)
	}
	what := words.Of("report.brief." + string(f.Kind))
	if amount := m.howMuch(f, h); amount != "" {
		return words.Say("report.brief", "what", what, "amount", amount)
	}
	return what.String()
}

// evidence says what a finding rests on.
func (m *music) evidence(f *finding.Finding, h *finding.Hearing) []string {
	var said []string
	add := func(s words.Sentence) { said = append(said, s.String()) }
	if amount := m.howMuch(f, h); amount != "" {
		add(words.Of("report.evidence.measured", "amount", amount))
	}
	if unit := unitOf(f.Kind); unit != "" {
		value := func(x float64) words.Sentence {
			digits := f.Kind.Row().Unit.Digits()
			if x < 1 && digits == 0 {
				digits = 1
			}
			return words.Of(unit, "n", words.Fixed(x, digits))
		}
		if f.Spread > 0 {
			add(words.Of("report.evidence.spread", "amount", value(f.Spread)))
		}
		if f.Tolerance > 0 {
			add(words.Of("report.evidence.tolerance", "amount", value(f.Tolerance)))
		}
	}
	if f.Notes > 0 && f.Kind.Row().About != finding.Here { // those behind it tell nothing
		add(words.Many("report.evidence.notes", f.Notes))
	}
	if f.At > 0 {
		add(words.Of("report.evidence.at", "time", words.Duration(f.At)))
	}
	return said
}

// trustWord says how sure the listening is.
func trustWord(t dsp.Trust) string {
	switch t {
	case dsp.Sure:
		return words.Say("report.trust.sure")
	case dsp.Fair:
		return words.Say("report.trust.fair")
	case dsp.NotSure:
		return words.Say("report.trust.not-sure")
	}
	return clean(string(t))
}

// unitOf is the message that writes a kind's spread and tolerance; "" where they are
// not told.
func unitOf(k finding.Kind) string {
	switch k.Row().Unit {
	case finding.Cents:
		return "report.unit.cents"
	case finding.Milliseconds:
		return "report.unit.ms"
	case finding.WrittenLengths:
		return "report.unit.length"
	case finding.BeatsOff:
		return "report.unit.beats"
	}
	return ""
}
