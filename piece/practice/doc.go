// Package practice says what to do with a piece: the plan of a sitting, and
// how a measure range is brought up to its tempo.
//
//	outline.Outline ─────────┐
//	[]finding.Hearing, if any ┴─ For ─> Plan: items in order, minutes, reasons
//	BringUp: the next tempo from how the last time went
//
// Read Plan first, then For. All numbers are common practice, no source, and
// can be set. What a bow's length forbids is said by Floor. Nothing here
// listens or keeps time.
//
// What was heard goes before what was guessed, and what came back before a slip; a
// guess that one take plays clean is shortened, and left out after several. A plan
// leaves out the least hard where the minutes end.
package practice
