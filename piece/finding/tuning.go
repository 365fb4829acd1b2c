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
	openWeight   = 3.0
	agreeing     = 10.0 // cents: notes this near one another agree
	widestTuning = 90   // cents from the reference asked for that an instrument may be tuned
	rivalShare   = 0.85 // of the support of the reference: a second one fits as well
	rivalApart   = 20.0 // cents between two references that differ
	enoughNotes  = 4    // notes that a tuning must rest on
)

type pull struct{ cents, weight float64 }

// tuned is the player's own reference, which all cents are told against.
type tuned struct {
	reference float64 // cents from opts.A4
	trust     dsp.Trust
	strings   map[int]float64 // strings out of tune: cents from the reference
}

// tuning finds the player's own reference, and tells of it where it is another one
// than was asked for.
func (t *take) tuning() tuned {
	var pulls []pull
	open := map[int][]float64{}
	for i, c := range t.cents {
		if !t.pitched(i) || math.Abs(c) > 160 {
			continue
		}
		weight := 1.0
		if f := t.plan.Notes[i]; f.Open {
			open[f.String] = append(open[f.String], c)
			weight = openWeight
		}
		if t.match(i).Note.Trust == dsp.Fair {
			weight /= 2
		}
		pulls = append(pulls, pull{c, weight})
	}
	support := func(at float64) float64 {
		sum := 0.0
		for _, p := range pulls {
			d := (p.cents - at) / agreeing
			sum += p.weight * math.Exp(-d*d/2)
		}
		return sum
	}
	best := 0.0
	for at := -float64(widestTuning); at <= widestTuning; at++ {
		// Between two that fit equally, the one nearer to what was asked.
		if s, b := support(at), support(best); s > b+1e-9 || s > b-1e-9 && math.Abs(at) < math.Abs(best) {
			best = at
		}
	}
	// Notes of one hand frame, or of one open string, scatter by chance alone.
	scatter := t.scatterWithin(func(i int) float64 { return t.cents[i] })
	window := math.Min(3*agreeing, math.Max(agreeing, 2.5*scatter))
	var near []float64
	base := best
	for round := 0; round < 3; round++ { // the mean of what lies about it
		near = near[:0]
		sum, total := 0.0, 0.0
		for _, p := range pulls {
			if math.Abs(p.cents-base) < window {
				near = append(near, p.cents)
				sum += p.weight * p.cents
				total += p.weight
			}
		}
		if total > 0 {
			base = sum / total
		}
	}
	if len(near) == 0 {
		return tuned{reference: base, trust: dsp.NotSure}
	}
	trust := dsp.Sure
	for at := -float64(widestTuning); at <= widestTuning; at++ {
		if math.Abs(at-best) > rivalApart && support(at) > rivalShare*support(best) {
			trust = dsp.NotSure
		}
	}
	if trust == dsp.NotSure && len(pulls) > enoughNotes {
		t.notSure("two tunings fit the notes equally well, so what is said of sharp and flat is a guess; play an open string before you begin", len(pulls))
	}
	spread := robust.SpreadAbout(near, base)
	if math.Abs(base) > math.Max(t.tuningTolerance(), 3*scatter/math.Sqrt(float64(len(near)))) && len(pulls) >= enoughNotes {
		trust := trust
		if math.Abs(base) < 1.25*t.level.Tuning {
			trust = least(trust, dsp.Fair)
		}
		t.whole(Finding{Kind: Tuning, Value: base, Trust: trust, Tolerance: t.level.Tuning, Notes: len(near), Spread: spread})
	}
	return tuned{base, trust, t.stringsOut(open, base, scatter)}
}

// stringsOut looks for a string that is out with the others. Notes stopped on
// it are off with it, unless the player's ear has put them right.
func (t *take) stringsOut(open map[int][]float64, base, scatter float64) (out map[int]float64) {
	if len(open) < 2 {
		return nil
	}
	out = map[int]float64{}
	for s := 1; s <= len(t.board.Strings); s++ {
		notes := open[s]
		if len(notes) < 2 {
			continue
		}
		off := robust.Median(notes) - base
		spread := robust.Spread(notes)
		if math.Abs(off) <= math.Max(t.tuningTolerance(), 2.6*scatter/math.Sqrt(float64(len(notes)))) {
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
		trust := dsp.Sure
		if len(notes) < 3 || math.Abs(off) < 1.25*t.level.Tuning {
			trust = dsp.Fair
		}
		t.whole(Finding{Kind: Tuning, Value: off, Trust: trust, Tolerance: t.level.Tuning, Notes: len(notes), Spread: spread,
			Text: t.stringText(s, off)})
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
