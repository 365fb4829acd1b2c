// Package page draws the engraved page on a Fyne canvas.
//
//	engraving.Page ── items ─> pen (x/image/vector) ─> one picture a system
//	findings ──────── marks ─┘                              │
//	                                 View: scrolls them, a cursor, a range to drag
//
// A system is drawn once and kept while it can be seen, so that scrolling only
// moves pictures. Read View first, then pen.
package page
