// Package page draws the engraved page on a Fyne canvas.
//
//	engraving.Page ── items ─> ui/pen ─> one picture a system
//	findings ──────── marks ─┘                              │
//	where the beat is, what sounds ────── cursor ──────> View: scrolls them, a range to drag
//
// A system is drawn once and kept while it is near, so that scrolling and the cursor
// only move pictures. Read View first.
package page
