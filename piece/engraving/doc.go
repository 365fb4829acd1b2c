// Package engraving lays a piece out as engraved notation, in staff spaces,
// and draws nothing itself.
//
//	piece.Piece ──┐
//	Options ──────┴─ Engrave ─> Page: systems, measure boxes, items ──┬─ SVG
//	                                                                  └─ any canvas
//
// Read Page first, then Options. A staff space is the distance of two staff
// lines; x runs right and y down. A renderer needs only a page's items: glyphs
// of the music font, rectangles, polygons, curves and texts, in that order of
// frequency.
//
// The way through the code: bars.go cuts a piece into bars with columns and
// natural widths; lines.go breaks bars into systems and stretches them;
// engrave.go sets one system from the staff outward, each thing by its own file:
// barset (signatures, heads, stems), beams, curves, over (tuplets, dots,
// numbers), hand (fingers, brackets), strings, words, remarks. A skyline keeps
// what stands over and under the notes from touching; whoever is set first lies
// nearest the staff. Thicknesses are the music font's (glyphs.go); other
// distances are common practice and say so. svg.go writes a page, and grid.go
// puts its lines on whole pixels.
package engraving
