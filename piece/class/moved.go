package class

import (
	"slices"
	"time"

	"endpin/dsp"
	"endpin/piece"
	"endpin/piece/finding"
	"endpin/piece/outline"
	"endpin/piece/trend"
	"endpin/piece/words"
)

// Lesson is what one take of a student tells, as it is compared with another: heard just
// now, or kept in a diary.
type Lesson struct {
	At       time.Time
	Findings []finding.Finding
	Unjudged map[string]bool // printed measures of which the take tells nothing
}

// LessonOf is a hearing as it is compared.
func LessonOf(p *piece.Piece, h *finding.Hearing, at time.Time) Lesson {
	l := Lesson{At: at, Findings: h.Findings, Unjudged: map[string]bool{}}
	for m, not := range notJudged(p, places(p), h) {
		if not {
			l.Unjudged[p.Measures[m].Number] = true
		}
	}
	return l
}

// Moved is what became, in a student's next take, of what was told of the one before.
type Moved struct {
	Since  time.Time         // the one before
	Weeks  int               // from its week to the next take's
	Better []finding.Finding // of before: no more told, though it would be
	Still  []finding.Finding // of now: told before, in the same music
	New    []finding.Finding // of now: not told before, though it would have been
}

// Compare says what moved from one take of a piece to the next. What is not sure, no mistake,
// or in measures that either take tells nothing of, has not moved.
func Compare(p *piece.Piece, before, now Lesson) Moved {
	m := Moved{Since: before.At, Weeks: int(trend.Monday(now.At).Sub(trend.Monday(before.At)).Hours()/24/7 + 0.5)}
	at := places(p)
	same := outline.Learned(outline.Again(p), len(p.Measures))
	of := func(f *finding.Finding) (spot, bool) {
		i, ok := at[f.Measure]
		if !ok || f.Trust == dsp.NotSure || f.Kind.Row().Weight == 0 || f.Kind == finding.Restarted {
			return spot{}, false
		}
		if Whole(f) {
			return spot{-1, f.Kind}, true
		}
		return spot{same[i], f.Kind}, true
	}
	told := func(l *Lesson) map[spot]bool {
		all := map[spot]bool{}
		for i := range l.Findings {
			if s, ok := of(&l.Findings[i]); ok {
				all[s] = true
			}
		}
		return all
	}
	was, is := told(&before), told(&now)
	add := func(to *[]finding.Finding, f *finding.Finding) {
		s, _ := of(f)
		if !slices.ContainsFunc(*to, func(g finding.Finding) bool { t, _ := of(&g); return t == s }) {
			*to = append(*to, *f)
		}
	}
	for i := range before.Findings {
		f := &before.Findings[i]
		if s, ok := of(f); ok && !is[s] && !now.Unjudged[f.Measure] {
			add(&m.Better, f)
		}
	}
	for i := range now.Findings {
		f := &now.Findings[i]
		s, ok := of(f)
		switch {
		case !ok:
		case was[s]:
			add(&m.Still, f)
		case !before.Unjudged[f.Measure]:
			add(&m.New, f)
		}
	}
	return m
}

// mostMoved is how many things a sentence about what moved names.
const mostMoved = 3

// Text is what moved in one sentence; "" where nothing was told before or now.
func (m Moved) Text() string {
	since := words.Of("class.since.day", "day", words.DayOfYear(m.Since))
	if m.Weeks == 1 {
		since = words.Of("class.since.week")
	}
	key := "class.moved"
	if len(m.Better) > 0 {
		key += ".better"
	}
	if len(m.Still) > 0 {
		key += ".still"
	}
	if len(m.Better)+len(m.Still) == 0 {
		if len(m.New) == 0 {
			return ""
		}
		key += ".new"
	}
	return words.Say(key, "since", since, "better", few(m.Better), "still", few(m.Still), "new", few(m.New))
}

// few names the first of some findings, and how many more there are.
func few(all []finding.Finding) words.Sayer {
	var said []string
	for i := range all[:min(mostMoved, len(all))] {
		said = append(said, inMeasures(&all[i]))
	}
	if more := len(all) - mostMoved; more > 0 {
		return words.Of("class.moved.more", "what", words.Row(said...), "n", more)
	}
	return words.Row(said...)
}

// inMeasures says a finding in a few words within a sentence.
func inMeasures(f *finding.Finding) string {
	what := words.Of("class.few." + string(f.Kind))
	if f.Trust == dsp.Fair {
		what = words.Of("class.few.perhaps", "what", what)
	}
	switch {
	case Whole(f):
		return what.String()
	case f.ToMeasure != f.Measure:
		return words.Say("class.moved.in.measures", "what", what, "from", f.Measure, "to", f.ToMeasure)
	}
	return words.Say("class.moved.in.measure", "what", what, "measure", f.Measure)
}
