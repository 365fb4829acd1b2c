package tuning

import (
	"math"

	"endpin/dsp"
	"endpin/piece/words"
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
		return words.Say("tuning.not-heard")
	case r.InTune:
		return words.Say("tuning.in-tune", "cents", Signed(r.Cents))
	case r.Trust == dsp.Fair && !r.Harmonic: // a pluck, or a short or uneven bow
		return words.Say("tuning.about", "off", words.Off(r.Cents))
	}
	return Off(r.Cents)
}

// Off tells cents as a player reads them: "12 cents sharp".
func Off(cents float64) string { return words.Off(cents).String() }

// Signed tells cents with a sign, 0 without.
func Signed(cents float64) string {
	n := math.Round(cents)
	if n == 0 {
		return words.Whole(0).String()
	}
	return words.Signed(n, 0).String()
}

// Turn says which way to turn the peg; empty where none is needed.
func (r Reading) Turn() string {
	if r.Trust == "" || r.InTune {
		return ""
	}
	return turn(r.Cents)
}

func turn(cents float64) string {
	key := "tuning.bring-up"
	if cents > 0 {
		key = "tuning.let-down"
	}
	switch a := math.Abs(cents); {
	case a >= 150:
		key += ".whole-tone"
	case a >= 75:
		key += ".semitone"
	case a >= 38:
		key += ".half-semitone"
	}
	return words.Say(key)
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
	switch {
	case beats < 0.05:
		return words.Say("tuning.beats.none")
	case beats >= 10:
		return words.Say("tuning.beats", "n", words.Whole(beats))
	}
	return words.Say("tuning.beats", "n", words.Fixed(beats, 1))
}

// About says what no beats mean, and what equal temperament asks for.
func (p Pair) About() string {
	if p.Lower == 0 {
		return ""
	}
	return words.Say("tuning.pure", "cents", words.Whole(p.Narrow), "beats", words.Fixed(p.Equal, 1))
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
		return words.Say("tuning.doubt.weak")
	case Moving:
		return words.Say("tuning.doubt.moving")
	case NoString:
		return words.Say("tuning.doubt.no-string")
	case Mixed:
		return words.Say("tuning.doubt.mixed")
	case Swelling:
		return words.Say("tuning.doubt.swelling")
	}
	return ""
}
