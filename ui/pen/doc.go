// Package pen draws what is engraved into a picture: items of a page, words, single signs.
//
//	engraving.Item, outlines of letters ─> Pen ── x/image/vector ──> an image
//
// Read Pen first.
package pen
