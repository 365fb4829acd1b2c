package dsp

import "math"

// ReferenceA is the frequency of A4 in Hz (ISO 16:1975).
const ReferenceA = 440.0

// Hz gives the frequency of a MIDI note number with a fraction at A4 = 440
// (MIDI Tuning Standard: f = 440 · 2^((d-69)/12)).
func Hz(midi float64) float64 { return ReferenceA * math.Exp2((midi-69)/12) }

// MIDI gives the note number, with a fraction, of a frequency in Hz at A4 = 440.
func MIDI(hz float64) float64 { return 69 + 12*math.Log2(hz/ReferenceA) }

// Cents gives the frequency ratio of an interval in cents.
func Cents(c float64) float64 { return math.Exp2(c / 1200) }

// Interval is how far one frequency lies above another, cents.
func Interval(from, to float64) float64 { return 1200 * math.Log2(to/from) }

// centsApart is how far two frequencies lie apart, cents.
func centsApart(a, b float64) float64 { return math.Abs(Interval(b, a)) }
