// Package pencil is a teacher's pencil on a file of music: marks set and taken away, undone
// and done again.
//
//	file ── Open ─> Pencil ── Note, Measure, Typed ─> Pencil with another Piece
//	                   └─ Bytes: the file with the marks, all else in it byte for byte
//
// Read Pencil. How a mark goes into the bytes stands in piece/notation/pencil.go.
package pencil
