package report

import (
	"strconv"
	"strings"

	"endpin/piece/finding"
)

// where names the measures of a finding as they are printed: "6", "6-7",
// "6 (2nd time)" where a measure comes round more than once.
func (m *music) where(f *finding.Finding) string {
	s := f.Measure
	if f.ToMeasure != "" && f.ToMeasure != f.Measure {
		s += "-" + f.ToMeasure
	}
	if f.Pass > 0 && m.times[f.Measure] > 1 && !m.whole(f) {
		s += " (" + ordinal(f.Pass) + " time)"
	}
	return s
}

// whichTime says which time round a measure is, where it comes round more than
// once, and that a measure before the first is the pickup.
func (m *music) whichTime(bar int) string {
	b := &m.bars[bar]
	switch {
	case m.times[b.Number] > 1:
		return ordinal(b.Pass) + " time"
	case b.Number == "0" && m.piece.Measures[b.Measure].Implicit:
		return "pickup"
	}
	return ""
}

// inMeasures is where, as the beginning of a sentence.
func (m *music) inMeasures(f *finding.Finding) string {
	switch {
	case m.whole(f) && f.Kind.Row().About != finding.Hand:
		return "The whole take"
	case f.ToMeasure != "" && f.ToMeasure != f.Measure:
		return "Measures " + m.where(f)
	}
	return "Measure " + m.where(f)
}

// saidWhere is inMeasures, but empty where the finding's sentence begins with it.
func (m *music) saidWhere(f *finding.Finding) string {
	if f.Located && f.Measure == f.ToMeasure && m.times[f.Measure] < 2 {
		return ""
	}
	return m.inMeasures(f)
}

// position says a position token as a teacher does: "3rd position".
func position(token string) string {
	parts := strings.Split(token, "-")
	for i, part := range parts {
		if n, err := strconv.Atoi(part); err == nil {
			parts[i] = ordinal(n)
		}
	}
	return strings.Join(parts, "-") + " position"
}

// ordinalPosition is a position token in as few letters as will do: "3rd".
func ordinalPosition(token string) string { return strings.TrimSuffix(position(token), " position") }

func ordinal(n int) string {
	suffix := "th"
	if n/10%10 != 1 {
		switch n % 10 {
		case 1:
			suffix = "st"
		case 2:
			suffix = "nd"
		case 3:
			suffix = "rd"
		}
	}
	return strconv.Itoa(n) + suffix
}
