// Package manuscript is a page of music while it is being written: notes put one after
// another, changed, taken away, undone and done again.
//
//	letters, lengths, signs ── Manuscript.Press, or its methods ──> notes in measures
//	an opened piece ── Of ──┘                                        └─ Piece ──> *piece.Piece
//	Keep ── bytes ── Restore: the same page again
//
// Measures close by themselves: a note that goes beyond the bar line is written as two and
// tied. A measure that was changed afterwards and does not add up stays as it is, and Off
// says by how much. Nothing here draws or sounds. Read Manuscript first, then keys.go for
// what each key does.
package manuscript
