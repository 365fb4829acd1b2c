// Package drill makes pieces to drill what a piece asks: its scale, and a shift of it on
// each string.
//
//	piece ── Scale, Shift ─> piece: engraved, worked and judged as any other
//
// Read Scale and Shift. What a fingering is stands in piece/fingerboard.
package drill
