// Package progress tells weeks of playing: a player's shifts, days, measures and rhythm, and
// who of a class moved, as pages to print and as rows for a window.
//
//	Model ────── PageOf ─────────> Page ─────────┬─ HTML, ClassHTML ─> a page that needs nothing else
//	ClassModel ─ TeachersPageOf ─> TeachersPage ─┴─ the desk's screen
//
// It judges nothing: verdicts come from package trend. Read Model first, then Page.
package progress
