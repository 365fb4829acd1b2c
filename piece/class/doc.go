// Package class gathers what was heard of a whole class: who needs what, and
// what all need taught again.
//
//	file names, roster ── Seat ─> students and their recordings ──┐
//	hearings ─────────────────────────────────────────────────────┴─ Gather ─> Sheet
//
// Read Sheet first, then Seat and Gather. Nothing here opens a file or hears
// anything: file names and hearings come in as values. The Sheet is also what
// `endpin class --json` prints; its fields may be added, never renamed.
//
// A file is given to one student: by a pattern, by all words of a roster's name, by
// its own name; where two fit, nobody guesses. The take that counts is the one of
// which more notes were heard surely, whatever its findings. What to teach again
// counts students, not findings, and measures of the same music together
// (outline.Learned). What is said first of each, and what went well, is piece/gist's.
package class
