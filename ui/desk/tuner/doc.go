// Package tuner is the check of the strings without its window: the microphone open
// while the screen stands there, and what the strings came to.
//
//	microphone ── ear ─> tuning.Check ─> Live ── Board ─> one string in large letters
//
// Nothing is recorded, and nothing plays in the microphone's place. Read Tuner first,
// then Board.
package tuner
