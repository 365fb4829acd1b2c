package class

import (
	"fmt"
	"math"
	"strings"

	"endpin/piece"
	"endpin/piece/finding"
)

// Text says a thing to reteach as one sentence.
func (r Reteach) Text() string {
	where := "measure " + r.Measure
	for i, m := range r.Also {
		if i == len(r.Also)-1 {
			where += " and " + m
		} else {
			where += ", " + m
		}
	}
	if len(r.Also) > 0 {
		where = "measures" + strings.TrimPrefix(where, "measure") + ", which are the same music"
	}
	who := fmt.Sprintf("%d of %d", r.Students, r.Of)
	if r.Fewer {
		who = fmt.Sprintf("%d of the %d heard there", r.Students, r.Of)
	}
	in := func(plain, with string) string {
		if r.What == "" {
			return fmt.Sprintf("%s %s in %s.", who, plain, where)
		}
		return fmt.Sprintf("%s %s in %s.", who, fmt.Sprintf(with, r.What), where)
	}
	switch r.Kind {
	case finding.SharpAfterShift:
		return in("stayed sharp after the shift", "stayed sharp after the shift into %s")
	case finding.FlatAfterShift:
		return in("stayed flat after the shift", "stayed flat after the shift into %s")
	case finding.Sharp:
		return in("played sharp", "were sharp on the %s")
	case finding.Flat:
		return in("played flat", "were flat on the %s")
	case finding.NarrowHand:
		return who + " kept the first and the fourth finger too near each other."
	case finding.WideHand:
		return who + " kept the first and the fourth finger too far apart."
	case finding.Late:
		return in("came late", "came late with the %s")
	case finding.Early:
		return in("came early", "came early with the %s")
	case finding.HeldShort:
		return in("cut a note short", "cut the %s short")
	case finding.HeldLong:
		return in("held a note too long", "held the %s too long")
	case finding.WrongRhythm:
		return in("played another rhythm", "played another rhythm")
	case finding.WrongNote:
		return in("played another note", "played another note for the %s")
	case finding.Missing:
		return in("left a note out", "left the %s out")
	case finding.Extra:
		return in("played a note too many", "played a note too many")
	case finding.Tempo:
		return who + " kept another tempo than the one asked for, or did not keep it."
	case finding.Tuning:
		return who + " played on a bass that wants tuning."
	}
	return in(string(r.Kind), string(r.Kind))
}

// InWords says a finding in a few words, for a list.
func InWords(f *finding.Finding) string {
	where := "measure " + f.Measure
	if f.ToMeasure != f.Measure {
		where = "measures " + f.Measure + "–" + f.ToMeasure
	}
	what, whole := strings.ReplaceAll(string(f.Kind), "_", " "), false
	switch f.Kind {
	case finding.SharpAfterShift, finding.FlatAfterShift, finding.Sharp, finding.Flat, finding.Late, finding.Early, finding.HeldShort, finding.HeldLong:
	case finding.WrongRhythm:
		what = "another rhythm"
	case finding.WrongNote:
		what = "another note"
	case finding.Missing:
		what = "a note left out"
	case finding.Extra:
		what = "a note too many"
	case finding.Restarted:
		what = "went back"
	case finding.NarrowHand:
		what, whole = "fingers too near each other", true
	case finding.WideHand:
		what, whole = "fingers too far apart", true
	case finding.Tempo:
		what, whole = "another tempo", true
	case finding.Tuning:
		what, whole = "the bass wants tuning", true
	case finding.NotSure:
		whole = true
	}
	if whole {
		return what
	}
	return what + ", " + where
}

// named is what a finding is about: the position shifted into, else the note by
// its written value; "" where that is not known or says nothing.
func named(p *piece.Piece, measure int, f *finding.Finding, h *finding.Hearing) string {
	near := func(beat float64) bool { return math.Abs(beat-f.Beat) < 0.002 }
	switch f.Kind {
	case finding.SharpAfterShift, finding.FlatAfterShift:
		if h == nil {
			return ""
		}
		for _, l := range h.Landings {
			if l.Measure == f.Measure && l.Pass == f.Pass && near(l.Beat) {
				return finding.PositionName(l.To)
			}
		}
	case finding.Sharp, finding.Flat, finding.Late, finding.Early, finding.HeldShort, finding.HeldLong, finding.WrongNote, finding.Missing:
		m := &p.Measures[measure]
		for i := range m.Notes {
			n := &m.Notes[i]
			if n.Rest || n.Grace || n.Value == "" || n.TieToNext || !near(1+float64(n.Start)/float64(m.Time.Beat())) {
				continue
			}
			dotted := ""
			if n.Dots > 0 {
				dotted = "dotted "
			}
			letter := ""
			if n.Step != "" {
				letter = " " + n.Step + map[int]string{-2: "𝄫", -1: "♭", 1: "♯", 2: "𝄪"}[n.Alter]
			}
			return dotted + n.Value + " note" + letter
		}
	}
	return ""
}
