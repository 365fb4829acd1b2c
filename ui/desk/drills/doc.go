// Package drills makes drills of the piece on the desk: its scale, and a shift of it on
// each string.
//
//	the piece ── Scale, Shift ─> Folder: MusicXML ─> the shelf, the desk
//	                                 └── Back ─> the piece that it was made of
//
// A drill is a piece as any other: it stands on the shelf, is played, judged and assigned.
// What stands in one is piece/drill. Read Drills.
package drills
