// Package outline says what a piece asks of a player before the first note:
// the fingering and its shifts, which measures are hard and why, what comes
// again, and the sections.
//
//	piece.Piece ── fingerboard.Finger ──┐
//	Options: weights, a bow's length ───┴─ Of ─> Outline: measures, notes, shifts, same, sections
//
// Read Outline first, then Options. What to do with it is package practice's.
// Bowing here is what the page implies (strokes.go), hardness a sum of weights
// that are common practice and can be set (weights.go, hard.go), and what comes
// again is found by comparing the printed measures with themselves (again.go).
//
// Bows alternate from what brings the next downbeat down. What comes again is a
// Lempel–Ziv factorization of the printed measures by a suffix automaton, first by
// notes, then by intervals. A teacher's division goes before any other. Learned maps
// each measure to the one where the same is learned first: who counts findings by
// measure counts by it. Hardness is a guess: of twelve measures that a teacher circled
// unseen, three were among the two hardest. Tempos are quarter notes a minute but in
// words, where they are beats felt (Felt).
package outline
