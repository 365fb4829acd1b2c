// Package export writes a piece as a file of music that other programs read, and that
// notation.Read reads again.
//
//	*piece.Piece ─┬─ MusicXML, with Options ─> MusicXML 4.0, one part, partwise
//	              └─ ABC ────────────────────> ABC 2.1, one tune
//
// Each function says what its format cannot tell again. What a measure cannot write is an
// error that names it. Read MusicXML first; note.go has what stands at a single note.
package export
