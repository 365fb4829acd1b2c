// Package notation reads a piece from a file of music: MusicXML 4.0
// (partwise, timewise, compressed) and ABC 2.1; and pencils marks into one of MusicXML.
// Package export writes them.
//
//	bytes ── Read ──> what is it? ─┬─ MusicXML ─┐
//	                               ├─ .mxl ─────┤
//	                               └─ ABC ──────┴─> draft ── finish ──> *piece.Piece
//
// Both formats fill the same draft, which holds everything as the file has it;
// finish chooses one voice, joins slurs, and settles how far the part sounds
// from where it is written. The content is looked at, never the file's name.
//
// Every error is one line that names the file, the line or measure, and the
// mend. No input makes the reader panic or take memory out of proportion.
package notation
