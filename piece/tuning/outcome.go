package tuning

import (
	"math"

	"endpin/dsp"
	"endpin/dsp/robust"
	"endpin/piece/words"
)

// Outcome is what the check came to.
type Outcome struct {
	A4       float64   // Hz that the strings as heard stand for: the middle one of them
	Strings  []Reading // the lowest first
	Missing  []string  // names of strings not heard
	InTune   bool      // each within the tolerance
	Together bool      // each within the tolerance of the others, if not of the reference A
}

// Outcome tells how the strings stand.
func (c *Check) Outcome() Outcome {
	o := Outcome{A4: c.a4, Strings: c.Strings(), InTune: true}
	var off []float64
	for _, r := range o.Strings {
		if r.Trust == "" {
			o.Missing = append(o.Missing, r.Name)
			continue
		}
		off = append(off, r.Cents)
		o.InTune = o.InTune && r.InTune
	}
	if len(off) > 0 {
		o.A4 = c.a4 * dsp.Cents(robust.Median(off))
	}
	if len(o.Missing) > 0 {
		o.InTune = false
		return o
	}
	o.Together = true
	for _, x := range off {
		o.Together = o.Together && math.Abs(x-robust.Median(off)) <= c.tolerance
	}
	return o
}

// Say tells it in one sentence; empty before anything was heard.
func (o Outcome) Say() string {
	n := len(o.Strings)
	switch {
	case len(o.Missing) == n:
		return ""
	case o.InTune:
		return words.Say("tuning.outcome.in-tune", "n", words.NumberWord(n))
	case len(o.Missing) > 0:
		return words.Say("tuning.outcome.missing", "strings", words.OpenStrings(o.Missing))
	case o.Together:
		return words.Say("tuning.outcome.together", "n", words.NumberWord(n), "hz", words.Whole(o.A4))
	}
	var out []string
	for _, r := range o.Strings {
		if !r.InTune {
			out = append(out, r.Name)
		}
	}
	if len(out) == 1 {
		return words.Say("tuning.outcome.one-left", "string", words.OpenString(out[0]))
	}
	return words.Say("tuning.outcome.left", "strings", words.OpenStrings(out))
}
