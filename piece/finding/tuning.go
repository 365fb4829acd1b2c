package finding

import (
	"math"

	"endpin/dsp"
	"endpin/dsp/robust"
	"endpin/piece/intonation"
)

// When a tuning is told. Set by ear, no source.
const (
	enoughNotes  = 4     // that a tuning must rest on
	stringNotes  = 2     // of an open string, to tell of it …
	stringSure   = 3     // … and surely
	anotherPitch = 160.0 // cents from where it is written: such a note tells nothing of intonation
	nearly       = 0.75  // of the tolerance: what notes share is told where it lies beyond all of it, and surely beyond so much
	aDoubt       = 1.0   // cents: of one reading's reference, between the readings
)

// tuned is the player's own reference, which all cents are told against, and why notes
// are off it.
type tuned struct {
	*intonation.Model
	heard   map[int]bool    // notes of the line that tell of it
	strings map[int]float64 // strings told to be out of tune: cents from the reference
	from    string          // where it was given from, since too little sounded to tell; "" for its own
}

// tuning finds the player's own reference, and tells of it where it is another one
// than was asked for.
func (t *take) tuning() tuned {
	notes, heard := t.intoned()
	var given *intonation.Prior
	if t.opts.Given.A4 > 0 {
		given = &intonation.Prior{A: 1200 * math.Log2(t.opts.Given.A4/t.opts.A4), SD: t.opts.Given.SD, Supposed: t.opts.Given.Supposed}
	}
	u := tuned{Model: intonation.Explain(notes, given), heard: heard, strings: map[int]float64{}}
	if u.Given {
		u.from = t.opts.Given.From
	}
	if u.Trust == dsp.NotSure && len(notes) > enoughNotes {
		t.notSure("two-tunings", len(notes))
	}
	allowed := t.tuningTolerance()
	out := u.A + t.retuned
	trust := u.Beyond(nearly*allowed, aDoubt, func(r *intonation.Reading) float64 { return r.A + t.retuned })
	if math.Abs(out) > allowed && trust != dsp.NotSure && len(notes) >= enoughNotes && u.Own {
		var near []float64
		for i := range notes {
			near = append(near, notes[i].Cents)
		}
		t.whole(Finding{Kind: Tuning, Value: out, Trust: least(u.Trust, trust),
			Tolerance: t.level.Tuning, Notes: len(near), Spread: robust.SpreadAbout(near, u.A)})
	}
	t.stringsOut(&u)
	return u
}

// intoned gives the notes that tell of intonation, and which of the line they are.
func (ev *evidence) intoned() (notes []intonation.Note, of map[int]bool) {
	of = map[int]bool{}
	for i, f := range ev.plan.Notes {
		if !ev.pitched(i) || math.Abs(ev.cents[i]) > anotherPitch {
			continue
		}
		n := intonation.Note{Cents: ev.cents[i], SD: ev.pitchDoubt(i), String: f.String, Open: f.Open || f.Harmonic, Frame: f.Frame, Finger: f.Finger, Reach: f.Reach}
		if f.Off {
			n.String = 0
		}
		notes, of[i] = append(notes, n), true
	}
	return notes, of
}

// stringsOut tells of a string that is out with the others. Notes stopped on it are
// off with it, unless the player's ear has put them right.
func (t *take) stringsOut(u *tuned) {
	for s := 1; s <= len(t.board.Strings); s++ {
		var open []float64
		for i, f := range t.plan.Notes {
			if u.heard[i] && f.Open && f.String == s {
				open = append(open, t.cents[i])
			}
		}
		if len(open) < stringNotes {
			continue
		}
		with, sd := u.Effect(intonation.OfString(s))
		alone, _ := u.Effect(intonation.OfOpenString(s))
		off := with + alone
		trust := u.Beyond(nearly*t.tuningTolerance(), sd, func(r *intonation.Reading) float64 {
			return r.Of(intonation.OfString(s)) + r.Of(intonation.OfOpenString(s))
		})
		if trust == dsp.NotSure || math.Abs(off) <= t.tuningTolerance() {
			continue
		}
		if math.Abs(with) > math.Abs(off)/2 {
			u.strings[s] = off
		}
		trust = least(least(u.Trust, trust), sureUnless(len(open) < stringSure))
		t.whole(Finding{Kind: Tuning, Value: off, Trust: trust, Tolerance: t.level.Tuning, Notes: len(open), Spread: robust.Spread(open),
			Said: t.stringText(s, off)})
	}
}

// off is how far a note lies from the player's own reference, cents, less what
// a string out of tune or a narrow hand explains.
func (t *take) off(i int) float64 { return t.cents[i] - t.tuned.A - t.told(i) }

// told is what a string told to be out of tune, or a narrow hand, explains of a note.
func (t *take) told(i int) float64 {
	return t.tuned.strings[t.plan.Notes[i].String] + t.spanned[i]
}

// tuningTolerance is how far a tuning may be off, cents. A pluck begins sharp and the
// body pulls at it: its pitch is known less well.
func (ev *evidence) tuningTolerance() float64 {
	if ev.mostlyStruck() {
		return ev.level.Tuning + pluckedAllowance/2
	}
	return ev.level.Tuning
}
