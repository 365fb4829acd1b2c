package fingerboard

import (
	"fmt"
	"math"
)

// FromBridge is the length in millimetres of the part that sounds when a string
// is stopped h semitones above its open note: length · 2^(-h/12), because the
// pitch of a string of given tension and weight is inverse to its length
// (Mersenne's law).
func FromBridge(length, semitones float64) float64 {
	return length * math.Exp2(-semitones/12)
}

// Displacement is how far a finger lies from its place, in millimetres along
// the string, when a note stopped h semitones above the open string sounds the
// given cents away: positive toward the bridge (sharp), negative toward the
// scroll (flat). It is the difference of two lengths of Mersenne's law.
func Displacement(length, semitones, cents float64) float64 {
	return FromBridge(length, semitones) - FromBridge(length, semitones+cents/100)
}

// Displaced is Displacement on this instrument's string length.
func (in Instrument) Displaced(semitones int, cents float64) float64 {
	return Displacement(in.Length, float64(semitones), cents)
}

// Distance says a displacement in words that a hand can act on, the side left
// out: "about a centimetre". Millimetres in, of either sign.
func Distance(mm float64) string {
	switch mm = math.Abs(mm); {
	case mm < 1.5:
		return "about a millimetre"
	case mm < 4:
		return fmt.Sprintf("about %d millimetres", int(math.Round(mm)))
	case mm < 7.5:
		return "about half a centimetre"
	case mm < 12.5:
		return "about a centimetre"
	case mm < 17.5:
		return "about a centimetre and a half"
	default:
		return fmt.Sprintf("about %d centimetres", int(math.Round(mm/10)))
	}
}

// Side names the side on which a displacement lies: "toward the bridge" for a
// finger too far up (sharp), "toward the scroll" for one too far down (flat).
func Side(mm float64) string {
	if mm < 0 {
		return "toward the scroll"
	}
	return "toward the bridge"
}
