package finding

import (
	"math"

	"endpin/dsp"
	"endpin/dsp/robust"
)

const (
	enoughNotes   = 4     // that a tuning must rest on
	stringNotes   = 2     // of an open string, to tell of it …
	stringSure    = 3     // … and surely
	clearlyOut    = 1.25  // times the tolerance that a tuning is out by: sure
	anotherPitch  = 160.0 // cents from where it is written: such a note tells nothing of intonation
	sameReference = 10.0  // cents: of A within so many it is one reading
	ownStrings    = 2     // notes of open strings, or …
	ownFrames     = 2     // … frames, that tell of a reference by themselves
	givenDoubt    = 4.0   // cents that a bass may have gone off since the reference was given
)

// tuned is the player's own reference, which all cents are told against.
type tuned struct {
	*causes
	reference float64 // cents from opts.A4
	sd        float64 // of it, cents
	trust     dsp.Trust
	strings   map[int]float64 // strings told to be out of tune: cents from the reference
	from      string          // where it was given from, since too little sounded to tell; "" for its own
}

// tuning finds the player's own reference, and tells of it where it is another one
// than was asked for.
func (t *take) tuning() tuned {
	c, open, frames := t.causesOf()
	u := tuned{causes: c, trust: dsp.NotSure, strings: map[int]float64{}}
	p := prior{0, usualA}
	few := open < ownStrings && frames < ownFrames
	given := few && t.opts.Given.A4 > 0
	if given {
		u.from = t.opts.Given.From
		p = prior{1200 * math.Log2(t.opts.Given.A4/t.opts.A4), math.Hypot(t.opts.Given.SD, givenDoubt)}
	}
	c.explain(p)
	var one float64
	u.reference, u.sd, one = c.reference(sameReference)
	switch {
	case few && !given:
	case one >= surely:
		u.trust = dsp.Sure
	case one >= fairly:
		u.trust = dsp.Fair
	}
	if u.trust == dsp.NotSure && len(c.notes) > enoughNotes {
		t.notSure("two-tunings", len(c.notes))
	}
	allowed := t.tuningTolerance()
	out := u.reference + t.retuned
	much, sure := c.beyond(allowed, 1, func(r *reading) float64 { return r.a + t.retuned })
	if math.Abs(out) > allowed && much > likely && len(c.notes) >= enoughNotes && !few {
		var near []float64
		for _, n := range c.notes {
			near = append(near, n.cents)
		}
		t.whole(Finding{Kind: Tuning, Value: out, Trust: least(least(u.trust, sure), sureUnless(math.Abs(out) < clearlyOut*t.level.Tuning)),
			Tolerance: t.level.Tuning, Notes: len(near), Spread: robust.SpreadAbout(near, u.reference)})
	}
	t.stringsOut(&u)
	return u
}

// causesOf sets up what may be why each note is off, and counts the notes of open
// strings and the frames.
func (ev *evidence) causesOf() (c *causes, open, frames int) {
	c = &causes{of: map[source]int{}, line: map[int]int{}}
	both := ev.spanning()
	for i, f := range ev.plan.Notes {
		if !ev.pitched(i) || math.Abs(ev.cents[i]) > anotherPitch {
			continue
		}
		c.line[i] = len(c.notes)
		untouched := f.Open || f.Harmonic
		c.notes = append(c.notes, pitchHeard{cents: ev.cents[i], sd: ev.pitchDoubt(i), stopped: !untouched})
		if !f.Off {
			c.moves(source{ofString, f.String}, usualString, 1)
		}
		if untouched {
			open++
			c.moves(source{ofOpenString, f.String}, usualOpen, 1)
		}
		if !f.Stopped() {
			continue
		}
		if !f.Reach && c.moves(source{ofFrame, f.Frame}, usualFrame, 1) {
			frames++
		}
		if both[f.Frame] && fingerShare[f.Finger] > 0 {
			c.moves(source{ofSpan, 0}, usualSpan, fingerShare[f.Finger])
		}
	}
	return c, open, frames
}

// fingerShare is how much of a hand's span a finger lies off by.
var fingerShare = map[string]float64{"2": 0.5, "3": 0.5, "4": 1}

// spanning gives the frames in which both the first and the fourth finger were heard:
// only they tell of the hand's span.
func (ev *evidence) spanning() map[int]bool {
	fingers := map[int]map[string]bool{}
	for i, f := range ev.plan.Notes {
		if f.Stopped() && ev.pitched(i) && math.Abs(ev.cents[i]) < anotherPitch {
			if fingers[f.Frame] == nil {
				fingers[f.Frame] = map[string]bool{}
			}
			fingers[f.Frame][f.Finger] = true
		}
	}
	both := map[int]bool{}
	for frame, f := range fingers {
		both[frame] = f["1"] && f["4"]
	}
	return both
}

// stringsOut tells of a string that is out with the others. Notes stopped on it are
// off with it, unless the player's ear has put them right.
func (t *take) stringsOut(u *tuned) {
	for s := 1; s <= len(t.board.Strings); s++ {
		var open []float64
		for i, f := range t.plan.Notes {
			if _, told := u.line[i]; told && f.Open && f.String == s {
				open = append(open, t.cents[i])
			}
		}
		if len(open) < stringNotes {
			continue
		}
		with, sd := u.effect(source{ofString, s})
		alone, _ := u.effect(source{ofOpenString, s})
		off := with + alone
		much, sure := u.beyond(t.tuningTolerance(), sd, func(r *reading) float64 { return u.under(r, source{ofString, s}) + u.under(r, source{ofOpenString, s}) })
		if much <= likely || math.Abs(off) <= t.tuningTolerance() {
			continue
		}
		if math.Abs(with) > math.Abs(off)/2 {
			u.strings[s] = off
		}
		trust := least(least(u.trust, sure), sureUnless(len(open) < stringSure || math.Abs(off) < clearlyOut*t.level.Tuning))
		t.whole(Finding{Kind: Tuning, Value: off, Trust: trust, Tolerance: t.level.Tuning, Notes: len(open), Spread: robust.Spread(open),
			Said: t.stringText(s, off)})
	}
}

// off is how far a note lies from the player's own reference, cents, less what
// a string out of tune or a narrow hand explains.
func (t *take) off(i int) float64 { return t.cents[i] - t.tuned.reference - t.told(i) }

// told is what a string told to be out of tune, or a narrow hand, explains of a note.
func (t *take) told(i int) float64 {
	return t.tuned.strings[t.plan.Notes[i].String] + t.spanned[i]
}

// tuningTolerance is how far a tuning may be off, cents. A pluck begins sharp and the
// body pulls at it: its pitch is known less well.
func (ev *evidence) tuningTolerance() float64 {
	if ev.plucked {
		return ev.level.Tuning + pluckedAllowance/2
	}
	return ev.level.Tuning
}
