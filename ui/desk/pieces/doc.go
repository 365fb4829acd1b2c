// Package pieces is the shelf that pieces stand on: which there are, how far each is, and
// which stands ready.
//
//	a file opened, dropped, put ── Shelf ─> Means.Read ─> a Choice of part and instrument ─> Host.Put
//	                                 │
//	a folder, a small JSON a piece ──┴─> its list, searched; Progress, from takes and diary
//
// A piece is known by its notes (piece.Content), wherever its file lies: one whose file
// moved is looked for, and one opened under another path is the same. A piece is a file
// of its own in the folder, written whole or not at all, so that two desks at once do not
// write over each other, and one that is damaged takes no other with it. The demo stands
// last and lies in no file. Read Piece first, then Shelf.
package pieces
