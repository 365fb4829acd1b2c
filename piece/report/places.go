package report

import (
	"endpin/piece/finding"
	"endpin/piece/words"
)

// where names the measures of a finding as they are printed: "6", "6-7",
// "6 (2nd time)" where a measure comes round more than once.
func (m *music) where(f *finding.Finding) words.Sentence {
	where := m.fromTo(f.Measure, f.ToMeasure)
	if f.Pass > 0 && m.times[f.Measure] > 1 && !m.whole(f) {
		return words.Of("report.where.round", "measure", where, "n", words.Ordinal(f.Pass))
	}
	return where
}

// fromTo is a range of measures.
func (m *music) fromTo(from, to string) words.Sentence {
	key := "report.where.measures"
	switch {
	case to == "" || to == from:
		key = "report.where.measure"
	case m.paper:
		key = "report.where.measures.paper"
	}
	return words.Of(key, "from", from, "to", to)
}

// whichTime says which time round a measure is, where it comes round more than
// once, and that a measure before the first is the pickup.
func (m *music) whichTime(bar int) string {
	b := &m.bars[bar]
	switch {
	case m.times[b.Number] > 1:
		return words.Say("report.round", "n", words.Ordinal(b.Pass))
	case b.Number == "0" && m.piece.Measures[b.Measure].Implicit:
		return words.Say("report.pickup")
	}
	return ""
}

// inMeasures is where, as the beginning of a sentence.
func (m *music) inMeasures(f *finding.Finding) string {
	switch {
	case m.whole(f) && f.Kind.Row().About != finding.Hand:
		return words.Say("report.in.take")
	case f.ToMeasure != "" && f.ToMeasure != f.Measure:
		return words.Say("report.in.measures", "where", m.where(f))
	}
	return words.Say("report.in.measure", "where", m.where(f))
}

// saidWhere is inMeasures, but empty where the finding's sentence begins with it.
func (m *music) saidWhere(f *finding.Finding) string {
	if f.Located && m.times[f.Measure] < 2 {
		return ""
	}
	return m.inMeasures(f)
}
