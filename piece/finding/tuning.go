package finding

import (
	"math"

	"endpin/dsp"
	"endpin/dsp/robust"
)

// The player's own reference is where open strings and the largest consistent
// group of stopped notes agree. An open string cannot be fingered wrongly, so
// it counts for several stopped notes: the reference holds when half of those
// are displaced.
const (
	openWeight    = 3.0   // stopped notes that one of an open string counts for
	agreeing      = 10.0  // cents: notes this near one another agree …
	agreeingMost  = 3.0   // … and in a take that scatters so many times as far at most: within …
	agreeingWide  = 2.5   // … so many times its scatter
	widestTuning  = 90    // cents from the reference asked for that an instrument may be tuned
	supportTie    = 1e-9  // of support that two references may differ by and fit equally: rounding
	refinements   = 3     // of the mean about the reference; after them it stands still
	rivalShare    = 0.85  // of the support of the reference: a second one fits as well
	rivalApart    = 20.0  // cents between two references that differ
	enoughNotes   = 4     // notes that a tuning must rest on
	tuningChance  = 3.0   // standard errors of the reference that chance may make
	stringChance  = 2.6   // and those of an open string
	clearlyOut    = 1.25  // times the tolerance that a tuning is out by: sure
	stringNotes   = 2     // notes of an open string that tell of it …
	stringSure    = 3     // … and surely
	fewestStrings = 2     // open strings, to tell one from the others
	anotherPitch  = 160.0 // cents from where it is written: such a note tells nothing of tuning or scatter
)

// tuned is the player's own reference, which all cents are told against.
type tuned struct {
	reference float64 // cents from opts.A4
	trust     dsp.Trust
	strings   map[int]float64 // strings out of tune: cents from the reference
}

// tuning finds the player's own reference, and tells of it where it is another one
// than was asked for.
func (t *take) tuning() tuned {
	all, open := t.pulls()
	best := all.best()
	// Notes of one hand frame, or of one open string, scatter by chance alone.
	scatter := t.scatterWithin(func(i int) float64 { return t.cents[i] })
	base, near := all.middle(best, math.Min(agreeingMost*agreeing, math.Max(agreeing, agreeingWide*scatter)))
	if len(near) == 0 {
		return tuned{reference: base, trust: dsp.NotSure}
	}
	trust := dsp.Sure
	if all.rival(best) {
		trust = dsp.NotSure
		if len(all) > enoughNotes {
			t.notSure("two-tunings", len(all))
		}
	}
	out := base + t.retuned
	if math.Abs(out) > math.Max(t.tuningTolerance(), tuningChance*scatter/math.Sqrt(float64(len(near)))) && len(all) >= enoughNotes {
		t.whole(Finding{Kind: Tuning, Value: out, Trust: least(trust, sureUnless(math.Abs(out) < clearlyOut*t.level.Tuning)),
			Tolerance: t.level.Tuning, Notes: len(near), Spread: robust.SpreadAbout(near, base)})
	}
	return tuned{base, trust, t.stringsOut(open, base, scatter)}
}

// pulls are the notes that tell of the tuning: where each lies, cents from the
// reference asked for, and what it counts for.
type pulls []struct{ cents, weight float64 }

// pulls gathers them; those of open strings also by string.
func (ev *evidence) pulls() (all pulls, open map[int][]float64) {
	open = map[int][]float64{}
	for i, c := range ev.cents {
		if !ev.pitched(i) || math.Abs(c) > anotherPitch {
			continue
		}
		weight := 1.0
		if f := ev.plan.Notes[i]; f.Open {
			open[f.String] = append(open[f.String], c)
			weight = openWeight
		}
		if ev.match(i).Note.Trust == dsp.Fair {
			weight /= 2
		}
		all = append(all, struct{ cents, weight float64 }{c, weight})
	}
	return all, open
}

// support is how much agrees with a reference.
func (all pulls) support(at float64) (sum float64) {
	for _, p := range all {
		d := (p.cents - at) / agreeing
		sum += p.weight * math.Exp(-d*d/2)
	}
	return sum
}

// best is the reference that most agrees with; of two that fit equally, the one
// nearer to what was asked.
func (all pulls) best() (best float64) {
	for at := -float64(widestTuning); at <= widestTuning; at++ {
		if s, b := all.support(at), all.support(best); s > b+supportTie || s > b-supportTie && math.Abs(at) < math.Abs(best) {
			best = at
		}
	}
	return best
}

// rival reports whether another reference fits as well as the best one.
func (all pulls) rival(best float64) bool {
	for at := -float64(widestTuning); at <= widestTuning; at++ {
		if math.Abs(at-best) > rivalApart && all.support(at) > rivalShare*all.support(best) {
			return true
		}
	}
	return false
}

// middle is the mean of what lies about a reference, at most so many cents off, and
// what that is.
func (all pulls) middle(about, within float64) (mean float64, near []float64) {
	mean = about
	for range refinements {
		near = near[:0]
		sum, total := 0.0, 0.0
		for _, p := range all {
			if math.Abs(p.cents-mean) < within {
				near = append(near, p.cents)
				sum += p.weight * p.cents
				total += p.weight
			}
		}
		if total > 0 {
			mean = sum / total
		}
	}
	return mean, near
}

// stringsOut looks for a string that is out with the others. Notes stopped on
// it are off with it, unless the player's ear has put them right.
func (t *take) stringsOut(open map[int][]float64, base, scatter float64) (out map[int]float64) {
	if len(open) < fewestStrings {
		return nil
	}
	out = map[int]float64{}
	for s := 1; s <= len(t.board.Strings); s++ {
		notes := open[s]
		if len(notes) < stringNotes {
			continue
		}
		off := robust.Median(notes) - base
		spread := robust.Spread(notes)
		if math.Abs(off) <= math.Max(t.tuningTolerance(), stringChance*scatter/math.Sqrt(float64(len(notes)))) {
			continue
		}
		var stopped []float64
		for i, c := range t.cents {
			if f := t.plan.Notes[i]; t.pitched(i) && f.Stopped() && f.String == s {
				stopped = append(stopped, c-base)
			}
		}
		if len(stopped) == 0 || math.Abs(robust.Median(stopped)-off) <= math.Abs(robust.Median(stopped)) {
			out[s] = off
		}
		trust := sureUnless(len(notes) < stringSure || math.Abs(off) < clearlyOut*t.level.Tuning)
		t.whole(Finding{Kind: Tuning, Value: off, Trust: trust, Tolerance: t.level.Tuning, Notes: len(notes), Spread: spread,
			Said: t.stringText(s, off)})
	}
	return out
}

// off is how far a note lies from the player's own reference, cents, less what
// a string out of tune or a narrow hand explains.
func (t *take) off(i int) float64 {
	return t.cents[i] - t.tuned.reference - t.tuned.strings[t.plan.Notes[i].String] - t.spanned[i]
}

// tuningTolerance is how far a tuning may be off, cents. A pluck begins sharp and the
// body pulls at it: its pitch is known less well.
func (ev *evidence) tuningTolerance() float64 {
	if ev.plucked {
		return ev.level.Tuning + pluckedAllowance/2
	}
	return ev.level.Tuning
}
