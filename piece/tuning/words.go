package tuning

import (
	"fmt"
	"math"

	"endpin/dsp"
)

// The shapes that stand beside a number, so that nothing hangs on colour.
const (
	Sharp   = "▲"
	Flat    = "▼"
	Good    = "●"
	Unsure  = "?"
	Unheard = "○"
)

// Shape stands for how a string is.
func (r Reading) Shape() string {
	switch {
	case r.Trust == "":
		return Unheard
	case r.InTune:
		return Good
	case r.Cents > 0:
		return Sharp
	}
	return Flat
}

// Say tells how a string is, in a word and a number.
func (r Reading) Say() string {
	switch {
	case r.Trust == "":
		return "not heard yet"
	case r.InTune:
		return "in tune, " + Signed(r.Cents) + " cents"
	case r.Trust == dsp.Fair && !r.Harmonic: // a pluck, or a short or uneven bow
		return "about " + Off(r.Cents)
	}
	return Off(r.Cents)
}

// Off tells cents as a player reads them: "12 cents sharp".
func Off(cents float64) string {
	n := int(math.Round(math.Abs(cents)))
	unit := "cents"
	if n == 1 {
		unit = "cent"
	}
	switch {
	case n == 0:
		return "0 cents"
	case cents > 0:
		return fmt.Sprintf("%d %s sharp", n, unit)
	}
	return fmt.Sprintf("%d %s flat", n, unit)
}

// Signed tells cents with a sign, 0 without.
func Signed(cents float64) string {
	n := int(math.Round(cents))
	if n == 0 {
		return "0"
	}
	return fmt.Sprintf("%+d", n)
}

// Turn says which way to turn the peg; empty where none is needed.
func (r Reading) Turn() string {
	if r.Trust == "" || r.InTune {
		return ""
	}
	return turn(r.Cents)
}

func turn(cents float64) string {
	much := ""
	switch a := math.Abs(cents); {
	case a >= 150:
		much = " by about a whole tone"
	case a >= 75:
		much = " by about a semitone"
	case a >= 38:
		much = " by about half a semitone"
	}
	if cents > 0 {
		return "Let it down" + much + "."
	}
	return "Bring it up" + much + "."
}

// Say tells how the two of a pair beat; empty before both were heard.
func (p Pair) Say() string {
	if !p.Both() {
		return ""
	}
	return BeatWords(p.Beats)
}

// BeatWords tells beats as a player hears them.
func BeatWords(beats float64) string {
	if beats < 0.05 {
		return "no beats"
	}
	if beats >= 10 {
		return fmt.Sprintf("beats %.0f a second", beats)
	}
	return fmt.Sprintf("beats %.1f a second", beats)
}

// About says what no beats mean, and what equal temperament asks for.
func (p Pair) About() string {
	if p.Lower == 0 {
		return ""
	}
	return fmt.Sprintf("Without beats the interval is pure, %.0f cents narrower than in equal temperament, where these two beat %.1f a second.", p.Narrow, p.Equal)
}

// Shape stands for what sounds now; tolerance decides as for a reading.
func (n Now) Shape(tolerance float64) string {
	switch {
	case !n.Sounding:
		return ""
	case n.String == 0 || n.Trust == dsp.NotSure && n.Why == Weak:
		return Unsure
	case math.Abs(n.Cents) <= tolerance:
		return Good
	case n.Cents > 0:
		return Sharp
	}
	return Flat
}

// Say says why something is not sure, in a sentence for the player.
func (d Doubt) Say() string {
	switch d {
	case Weak:
		return "The sound is weak. Play a little louder, or come nearer to the microphone."
	case Moving:
		return "The pitch does not stand yet. Play one long, even note."
	case NoString:
		return "This is near no open string. Let the tone of your string sound, and come near it by ear."
	case Mixed:
		return "No string stands out alone. Sound one after the other, and damp the rest with your hand."
	case Swelling:
		return "It swells and fades, as two strings do that sound at once. Sound one after the other, and evenly."
	}
	return ""
}
