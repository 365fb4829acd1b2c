// Package ink draws lines and shapes into a picture for a Fyne canvas.
//
//	boxes, strokes, forms ─ x/image/vector ─> Picture ─ Object ─> canvas.Image
//
// A drawing of some hundred lines is one picture, not some hundred objects, so
// that a cursor may move over it without all being drawn anew. Read Picture first.
package ink
