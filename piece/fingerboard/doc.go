// Package fingerboard says where the notes lie under the hand, and where the
// hand moves.
//
//	Instrument (strings, positions, fingers: tables) ──┐
//	[]piece.Expected with the teacher's marks ─────────┴─ Finger ─> Plan
//	Plan: a string, position, finger and hand frame for every note; the shifts
//
// Read Instrument first, then Plan. A position is a place of the whole hand; a
// stop is one finger of that hand on one string. Finger chooses the least-cost
// way through all stops of a line by dynamic programming; what a way costs
// stands in Costs and with the positions. Of the bass both come from a School, a
// file that a teacher can write.
//
// # How to add an instrument
//
// An instrument is its strings and a System; a System is a table of positions
// from the nut upward, each with the semitones above the open string at which
// its hand begins and the shape of that hand; a Hand is a row of fingers, each
// with the semitones at which it lies above that beginning. Write these three
// in tables.go, add the instrument to the list in Instruments, print it with
// Chart and hold the chart beside a published one. Nothing else knows any
// instrument. A position that a key bends up or down by a semitone (the second
// on the cello) stands in the table once for each place, under the same token.
// A finger that players use in a place only when told to is MarkedOnly: Finger
// will never choose it, but obeys a mark that asks for it.
//
// # The costs
//
// They weigh the moves of the hand over a phrase, and were chosen to agree with
// lines whose fingering is taught (testdata/printed) and with tunes fingered by
// hand (teacher_test.go). Whoever changes a cost writes down new lines first:
// those that are there have been seen.
package fingerboard
