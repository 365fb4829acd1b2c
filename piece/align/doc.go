// Package align matches the notes heard to the notes expected.
//
//	[]piece.Expected ─┐
//	[]dsp.Note ───────┴─> Align ──> Alignment: a Match for every note expected,
//	                                extras, restarts, and the beat the player kept
//
// It knows how students play: at a tempo of their own that drifts, with talk
// before the start, stopping and going back, leaving notes out and putting some
// in. It measures and does not judge. Read Alignment first, then Align.
package align
