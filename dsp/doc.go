// Package dsp turns the sound of one instrument into the notes that were heard.
//
//	Source ─ samples ─> Listener ─┬─> []Frame   pitch track (YIN), level
//	                              ├─> []Onset
//	                              └─> []Note    notes heard; live: Now, Provisional
//
// It knows nothing of measures or of what was expected. Read Source first, then
// Listener. Times are seconds from the first sample, frequencies hertz, levels
// decibels relative to full scale, pitches MIDI note numbers with a fraction
// (69 is A4, one is a semitone of 100 cents).
package dsp
