package trend

import (
	"fmt"
	"math"
	"strings"
)

// sentence says the verdict in words, and of a kind where its shifts differ.
func (t *Trend) sentence(o Options) string {
	differ := t.Differ()
	if differ == "" || t.Verdict == TooFew {
		return t.word(o)
	}
	if t.Verdict == Closing || t.Verdict == Opening {
		return t.word(o) + " It does not land alike everywhere: " + differ
	}
	if t.Verdict == Scattered {
		return "Scattered: " + differ
	}
	says := fmt.Sprintf("Holding%s, but not alike everywhere: %s", t.faster(), differ)
	if seems := t.Seems(); seems != "" {
		says += fmt.Sprintf(" It seems to be %s, but only more days can make that sure.", seems)
	}
	return says
}

// Differ says of a kind of shift where it lands lowest and where highest, ""
// where its shifts do not differ for certain.
func (t *Trend) Differ() string {
	if t.low == nil {
		return ""
	}
	a, b := t.low, t.high
	if math.Abs(a.last) > math.Abs(b.last) {
		a, b = b, a
	}
	here, there := "measure "+b.shift.Measure, "measure "+a.shift.Measure
	if here == there && a.shift.Piece == b.shift.Piece {
		here, there = fmt.Sprintf("%s, beat %.4g", here, b.shift.Beat), fmt.Sprintf("%s, beat %.4g", there, a.shift.Beat)
	}
	if a.shift.Piece != b.shift.Piece {
		here += " of " + b.shift.Piece
	}
	if a.shift.Piece != "" {
		there += " of " + a.shift.Piece
	}
	differ := fmt.Sprintf("%s in %s, %s in %s.", Off(b.last), here, Off(a.last), there)
	return strings.Join(strings.Fields(differ), " ")
}

// word says the verdict in words, as if of one shift.
func (t *Trend) word(o Options) string {
	switch t.Verdict {
	case TooFew:
		return fmt.Sprintf("Too few to say yet: %s on %s. It takes %d days, spread over %d or more.",
			counted(t.Times, "landing"), counted(t.Days, "day"), o.Days, o.Span)
	case Closing:
		return fmt.Sprintf("Closing in: it landed %s%s.", t.fromTo(), t.faster())
	case Opening:
		return fmt.Sprintf("Opening: it landed %s%s.", t.fromTo(), t.faster())
	case Scattered:
		return fmt.Sprintf("Scattered: now sharp, now flat, about %.0f cents from one landing to the next.", 2/math.Sqrt(math.Pi)*t.Spread)
	}
	if t.moved && t.crossed {
		return fmt.Sprintf("Holding%s: it landed %s. It went over from one side to the other.", t.faster(), t.fromTo())
	}
	if t.moved {
		return fmt.Sprintf("Holding%s: it lands %s, as before: less than %.0f cents nearer or farther off.", t.faster(), Off(t.Last), worth)
	}
	if seems := t.Seems(); seems != "" {
		return fmt.Sprintf("Holding%s: it landed %s. It seems to be %s, but only more days can make that sure.", t.faster(), t.fromTo(), seems)
	}
	if math.Abs(t.First-t.Last) > t.Tolerance && t.faster() != "" {
		return fmt.Sprintf("Holding%s: it landed %s. The other tempo alone may have made that.", t.faster(), t.fromTo())
	}
	wide := math.Max(t.FirstSD, t.Spread) >= worth
	switch {
	case t.still || !wide && math.Abs(t.First-t.Last) < worth:
		return fmt.Sprintf("Holding%s: it lands %s, as before.", t.faster(), Off(t.Last))
	case wide:
		return fmt.Sprintf("Holding%s: it lands %s. No change is clear: the landings differ too much among themselves.", t.faster(), Off(t.Last))
	}
	return fmt.Sprintf("Holding%s: it lands %s. No change is clear.", t.faster(), Off(t.Last))
}

// fromTo says where it landed at both ends.
func (t *Trend) fromTo() string {
	if t.Ends() == 1 {
		return fmt.Sprintf("%s on its first day and %s on its last", Off(t.First), Off(t.Last))
	}
	return fmt.Sprintf("%s on its first %d days and %s on its last %d", Off(t.First), t.Ends(), Off(t.Last), t.Ends())
}

// Off is a landing in words: "32 cents sharp".
func Off(cents float64) string {
	way, by := "sharp", math.Round(cents)
	if by < 0 {
		way, by = "flat", -by
	}
	if by == 0 {
		return "in tune"
	}
	return counted(int(by), "cent") + " " + way
}

// faster says how the tempo moved, "" where it did not: ", at a fifth faster".
func (t *Trend) faster() string {
	if t.FirstQPM <= 0 || t.LastQPM <= 0 {
		return ""
	}
	by := t.LastQPM/t.FirstQPM - 1
	way := "faster"
	if by < 0 {
		by, way = 1-t.LastQPM/t.FirstQPM, "slower"
	}
	if by < movedTempo {
		return ""
	}
	for _, f := range []struct {
		part float64
		name string
	}{{0.1, "a tenth"}, {0.125, "an eighth"}, {0.2, "a fifth"}, {0.25, "a quarter"}, {1. / 3, "a third"}, {0.5, "half"}} {
		if math.Abs(by-f.part) <= 0.012+0.1*f.part && f.part > 0 {
			if f.name == "half" && way == "faster" {
				return ", half as fast again"
			}
			return ", at " + f.name + " " + way
		}
	}
	return fmt.Sprintf(", %.0f per cent %s", 100*by, way)
}

func counted(n int, thing string) string {
	if n == 1 {
		return "1 " + thing
	}
	return fmt.Sprintf("%d %ss", n, thing)
}
