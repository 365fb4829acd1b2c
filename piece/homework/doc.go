// Package homework is what a teacher wants practised, as one file, and the take that
// comes back in it.
//
//	Homework, its piece ── Write ─> FILE ── Read ─> File: Homework, Piece, Example
//	                                  └── the desk, HandIn ─> FILE with a Take and its sound
//
// FILE is a zip (PKWARE APPNOTE 6.3, stored or deflated) of these entries, all at its
// top. Others are passed over.
//
//	homework.txt   what is asked, for people; Endpin does not read it
//	homework.json  what is asked, a Homework
//	piece.*        the piece with its marks, byte for byte as the teacher's file has it:
//	               .musicxml, .xml, .mxl, .abc, .mid or .midi, known by its content
//	example.*      the teacher's own recording, where there is one; Homework names it
//	take.json      in what is handed in: a Take
//	take.wav       its sound
//
// A file handed in is the homework with the take added, so that whoever has it knows
// player, piece, what was asked, the date and the sound without a look at its name.
// Fields may be added to the JSON, never renamed; a format that an older Endpin would
// misread gets a higher version.
//
// All of it comes from outside. No entry's name is ever used as a path, nothing is read
// beyond what its kind may hold, whatever the headers promise, and every error is one line
// with the file, the place and the mend.
package homework
