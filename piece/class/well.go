package class

import (
	"math"
	"slices"

	"endpin/dsp"
	"endpin/piece"
	"endpin/piece/finding"
	"endpin/piece/words"
)

// Well says what went well, each from what was heard and no more; at most three
// sentences. A take of which nothing good can be said for certain gets what was
// heard of it.
func Well(p *piece.Piece, h *finding.Hearing) []string {
	var said []string
	told := map[string]bool{}
	doubt, unsteady := false, false
	at := places(p)
	for i := range h.Findings {
		f := &h.Findings[i]
		switch {
		case f.Kind == finding.NotSure:
			doubt = true
		case f.Kind == finding.Tempo:
			unsteady = true
		case Whole(f):
		default:
			for m := at[f.Measure]; m <= max(at[f.Measure], at[f.ToMeasure]); m++ {
				told[p.Measures[m].Number] = true
			}
		}
	}
	if first, last, notes := longestClear(p, h, told); notes >= leastClear && !doubt {
		key := "class.well.measures"
		if last == first {
			key = "class.well.measure"
		}
		said = append(said, words.Say(key, "from", first, "to", last, "notes", notes))
	}
	if shifts := landed(h); shifts != "" && !doubt {
		said = append(said, shifts)
	}
	if !unsteady && !doubt && h.TempoHeard > 0 && len(h.Notes) >= leastSteady {
		said = append(said, words.Say("class.well.tempo", "qpm", words.Whole(h.TempoHeard)))
	}
	if len(said) == 0 {
		heard := 0
		for i := range h.Notes {
			if h.Notes[i].State == finding.StatePlayed {
				heard++
			}
		}
		said = append(said, words.Say("class.well.played", "notes", heard))
	}
	return said
}

// landed says how many shifts landed where they should, where most of those heard
// did. Every shift played counts, as in the outline and the diary: those that could not
// be heard surely are told beside.
func landed(h *finding.Hearing) string {
	played, near, heard := 0, 0, 0
	for i := range h.Notes {
		if n := &h.Notes[i]; n.AfterShift && n.State != finding.StateExtra && n.Onset != nil {
			played++
		}
	}
	for _, l := range h.Landings {
		if l.Trust == dsp.NotSure {
			continue
		}
		heard++
		if math.Abs(l.Cents) <= nearCents && !offPitch(h, &l) {
			near++
		}
	}
	played = max(played, len(h.Landings))
	if near == 0 || 2*near < heard {
		return ""
	}
	if near == played {
		return words.Many("class.well.shifts.all", played).String()
	}
	said := words.Say("class.well.shifts", "near", near, "played", played)
	if unheard := played - heard; unheard > 0 {
		said += " " + words.Many("class.well.shifts.unheard", unheard).String()
	}
	return said
}

// offPitch reports whether a finding says that the hand lay off where a shift landed.
func offPitch(h *finding.Hearing, l *finding.Landing) bool {
	return slices.ContainsFunc(h.Findings, func(f finding.Finding) bool {
		return (f.Kind.Row().OffPitch() || f.Kind == finding.WrongNote) &&
			f.Measure == l.Measure && f.Pass == l.Pass && math.Abs(f.Beat-l.Beat) < 0.01
	})
}

const (
	leastClear  = 4  // notes
	leastSteady = 12 // notes
	nearCents   = 25 // of a landing
)

// longestClear is the longest run of measures in which every note was played and
// nothing is told.
func longestClear(p *piece.Piece, h *finding.Hearing, told map[string]bool) (first, last string, most int) {
	notes, bad := map[string]int{}, map[string]bool{}
	for i := range h.Notes {
		n := &h.Notes[i]
		if n.State == finding.StatePlayed {
			if n.Pass <= 1 {
				notes[n.Measure]++
			}
		} else {
			bad[n.Measure] = true
		}
	}
	from, run := "", 0
	for i := range p.Measures {
		number := p.Measures[i].Number
		if told[number] || bad[number] || notes[number] == 0 {
			from, run = "", 0
			continue
		}
		if run == 0 {
			from = number
		}
		if run += notes[number]; run > most {
			first, last, most = from, number, run
		}
	}
	return first, last, most
}

// Begin is a tempo at which to begin working on a finding: three fifths of the
// one asked for, or of the one played where none was, and not above what was
// played; in even numbers, as a metronome has them (common practice, no source).
// It is not below floor, the slowest tempo at which the bows of the place last.
// 0 where no tempo is known.
func Begin(h *finding.Hearing, floor float64) float64 {
	qpm := h.TempoAsked
	if qpm == 0 || h.TempoHeard > 0 && h.TempoHeard < qpm {
		qpm = h.TempoHeard
	}
	if qpm == 0 {
		return 0
	}
	least := max(40, 2*math.Ceil(floor/2))
	return max(min(least, 2*math.Round(qpm/2)), 2*math.Round(qpm*0.6/2))
}
