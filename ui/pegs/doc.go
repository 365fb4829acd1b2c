// Package pegs is the screen on which the four strings are brought in tune.
//
//	tuner.Tuner ─ Board ──> one string in large letters: its name, a shape, a word, what to do
//	            └ Live ───> a row of all four, each with its tone
//
// What is heard of a string is decided in piece/tuning, and how it is said in
// ui/desk/tuner. Read Screen first.
package pegs
