// Package write is the screen on which a page is written: what stands over it, what the
// keys do, and the page, engraved at every stroke.
//
//	keys, mouse ── Screen ─> ui/desk/writing ─> the page, drawn by ui/page
//	a photograph of a printed page ── beside it, to write from
//
// Read Screen first; palette.go holds the buttons, each with the key that does the same.
package write
