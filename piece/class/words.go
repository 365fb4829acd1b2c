package class

import (
	"math"

	"endpin/dsp"
	"endpin/piece"
	"endpin/piece/finding"
	"endpin/piece/words"
)

// Text says a thing to reteach as one sentence.
func (r Reteach) Text() string {
	where := words.Of("class.where", "measure", r.Measure)
	switch {
	case r.Kind.Row().Unit == finding.PaceShare && r.ToMeasure != r.Measure:
		where = words.Of("class.where.through", "from", r.Measure, "to", r.ToMeasure)
	case len(r.Also) > 0:
		where = words.Of("class.where.same", "measures", words.List(append([]string{r.Measure}, r.Also...)))
	}
	who := words.Of("class.who", "students", r.Students, "of", r.Of)
	if r.Fewer {
		who.Key = "class.who.fewer"
	}
	key := "class.reteach." + string(r.Kind)
	switch {
	case r.throughout:
		key += ".manner"
	case r.What != "" && words.Here().Has(key+".named"):
		key += ".named"
	}
	return words.Say(key, "who", who, "where", where, "what", r.What)
}

// InWords says a finding in a few words, for a list.
func InWords(f *finding.Finding) string {
	if f.Trust == dsp.Fair {
		return words.Say("class.few.perhaps", "what", inWords(f))
	}
	return inWords(f)
}

func inWords(f *finding.Finding) string {
	what := words.Of("class.few." + string(f.Kind))
	switch about := f.Kind.Row().About; {
	case about == finding.WholeTake || about == finding.Hand:
		return what.String()
	case f.ToMeasure != f.Measure:
		return words.Say("class.few.measures", "what", what, "from", f.Measure, "to", f.ToMeasure)
	}
	return words.Say("class.few.measure", "what", what, "measure", f.Measure)
}

// named is what a finding is about: the position shifted into, else the note by
// its written value; "" where that is not known or says nothing.
func named(p *piece.Piece, measure int, f *finding.Finding, h *finding.Hearing) string {
	near := func(beat float64) bool { return math.Abs(beat-f.Beat) < 0.002 }
	switch row := f.Kind.Row(); {
	case row.About == finding.HandFrame:
		if h == nil {
			return ""
		}
		for _, l := range h.Landings {
			if l.Measure == f.Measure && l.Pass == f.Pass && near(l.Beat) {
				return words.Position(l.To).String()
			}
		}
	case row.About == finding.OneNote && f.Kind != finding.Extra:
		m := &p.Measures[measure]
		for i := range m.Notes {
			n := &m.Notes[i]
			if n.Rest || n.Grace || n.Value == "" || n.TieToNext || !near(1+float64(n.Start)/float64(m.Time.Beat())) {
				continue
			}
			v := words.Value{Type: n.Value, Dots: n.Dots}
			if n.Step != "" {
				v.Note = words.Note{Step: n.Step, Alter: n.Alter}
			}
			return v.In(words.Here())
		}
	}
	return ""
}
