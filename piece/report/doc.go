// Package report tells a hearing: as a table in the terminal, and as one page
// to print or to read on a phone.
//
//	finding.Hearing ─┬─ Table ─> plain text
//	piece.Piece ─────┤
//	dsp.Heard ───────┴─ HTML ──> a page that needs nothing else
//
// It judges nothing: what is told was decided in package finding, and only how
// it reads on paper is decided here. Every finding is told by a shape, a word
// and a number, so that it survives a black-and-white printer and eyes that do
// not tell colours apart. Read Options first, then Table.
//
// What must be read on paper is no button: Chromium does not draw one again at the head
// of a second sheet. Pages of weeks are package progress's, those of a class package sheets',
// what every page is made of package paper's.
package report
