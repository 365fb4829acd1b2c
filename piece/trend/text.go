package trend

import (
	"fmt"
	"math"
)

// sentence says the verdict in words.
func (t *Trend) sentence(o Options) string {
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
	return fmt.Sprintf("Holding%s: it lands %s. No change is clear: the landings differ too much among themselves.", t.faster(), Off(t.Last))
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
