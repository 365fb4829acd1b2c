package fingerboard

import "math"

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
