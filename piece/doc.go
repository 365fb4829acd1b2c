// Package piece holds a piece of music as a player meets it: measures as they
// are printed, and the line of notes as it is played.
//
//	a file of music ── notation.Read ──> Piece (as printed)
//	Piece ── Line ──> []Expected (as played: repeats unfolded, ties joined)
//
// Nothing here knows sound, files, a clock or a window. Read Piece first, then
// Expected. Lengths are Ticks, pitches are MIDI note numbers as they sound.
package piece
