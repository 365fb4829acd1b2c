package tuning

import (
	"fmt"
	"math"
	"strings"

	"endpin/dsp"
	"endpin/dsp/robust"
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

var numbers = []string{"no", "one", "two", "three", "four", "five", "six"}

// Say tells it in one sentence; empty before anything was heard.
func (o Outcome) Say() string {
	n := len(o.Strings)
	switch {
	case len(o.Missing) == n:
		return ""
	case o.InTune:
		return fmt.Sprintf("All %s are in tune.", count(n))
	case len(o.Missing) > 0:
		return "Not heard yet: " + list(o.Missing) + "."
	case o.Together:
		return fmt.Sprintf("All %s agree with each other, at A = %.0f.", count(n), o.A4)
	}
	var out []string
	for _, r := range o.Strings {
		if !r.InTune {
			out = append(out, r.Name)
		}
	}
	if len(out) == 1 {
		return "One is left: " + out[0] + "."
	}
	return "These are left: " + list(out) + "."
}

func count(n int) string {
	if n < len(numbers) {
		return numbers[n]
	}
	return fmt.Sprint(n)
}

func list(names []string) string {
	if len(names) == 1 {
		return names[0]
	}
	return strings.Join(names[:len(names)-1], ", ") + " and " + names[len(names)-1]
}
