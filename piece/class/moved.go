package class

import (
	"slices"
	"time"

	"endpin/dsp"
	"endpin/piece"
	"endpin/piece/finding"
	"endpin/piece/outline"
	"endpin/piece/practice"
	"endpin/piece/trend"
	"endpin/piece/words"
)

// Lesson is what one take of a student tells, as it is compared with another: heard just
// now, or kept in a diary.
type Lesson struct {
	At       time.Time
	Hearing  *finding.Hearing
	Unjudged map[string]bool // printed measures of which the take tells nothing
}

// LessonOf is a hearing as it is compared.
func LessonOf(p *piece.Piece, h *finding.Hearing, at time.Time) Lesson {
	l := Lesson{At: at, Hearing: h, Unjudged: map[string]bool{}}
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
	Still  []Again           // told before and now, in the same music
	New    []finding.Finding // of now: not told before, though it would have been
}

// Again is a finding that was told before, too.
type Again struct {
	finding.Finding
	Was words.Sentence // what it was and what it is, in figures; zero where they are the same, or of two places
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
	told := func(h *finding.Hearing) (in []spot, all map[spot][]*finding.Finding) {
		all = map[spot][]*finding.Finding{}
		for i := range h.Findings {
			if s, ok := of(&h.Findings[i]); ok {
				if all[s] == nil {
					in = append(in, s)
				}
				all[s] = append(all[s], &h.Findings[i])
			}
		}
		return in, all
	}
	// judged is the first of some findings in a measure of which the other take tells something.
	judged := func(all []*finding.Finding, other *Lesson) *finding.Finding {
		k := slices.IndexFunc(all, func(f *finding.Finding) bool { return !other.Unjudged[f.Measure] })
		if k < 0 {
			return nil
		}
		return all[k]
	}
	then, was := told(before.Hearing)
	here, is := told(now.Hearing)
	for _, s := range then {
		if f := judged(was[s], &now); is[s] == nil && f != nil {
			m.Better = append(m.Better, *f)
		}
	}
	for _, s := range here {
		if was[s] != nil {
			m.Still = append(m.Still, again(was[s], is[s][0], now.Hearing.Level))
		} else if f := judged(is[s], &before); f != nil {
			m.New = append(m.New, *f)
		}
	}
	return m
}

// again is a finding beside what it was.
func again(was []*finding.Finding, f *finding.Finding, level string) Again {
	for _, g := range was {
		if g.Measure == f.Measure && g.Pass == f.Pass && g.Beat == f.Beat {
			return Again{*f, practice.Moved(g, f, level)}
		}
	}
	return Again{Finding: *f}
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
	return words.Say(key, "since", since, "better", few(m.Better, inMeasures), "still", few(m.Still, withWas), "new", few(m.New, inMeasures))
}

// few names the first of some findings, and how many more there are.
func few[T any](all []T, say func(*T) string) words.Sayer {
	var said []string
	for i := range all[:min(mostMoved, len(all))] {
		said = append(said, say(&all[i]))
	}
	if more := len(all) - mostMoved; more > 0 {
		return words.Of("class.moved.more", "what", words.Row(said...), "n", more)
	}
	return words.Row(said...)
}

// withWas says a finding and what it was.
func withWas(a *Again) string {
	said := inMeasures(&a.Finding)
	if was := a.Was.String(); was != "" {
		return words.Say("class.moved.was", "what", said, "was", was)
	}
	return said
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
