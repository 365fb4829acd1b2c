// Package help is the first ten minutes with the desk, told in the window itself: a piece, the
// microphone, the first take, what a finding means, what Endpin cannot hear.
//
//	words ─┐
//	       ├─ chapters ─> Screen: text beside a picture, or over it
//	the demo piece ─ page.View, level.Bar, ink ─> pictures
//
// Its pictures are what the desk draws, drawn here: so they speak every language, by day and
// by night. Read Screen first.
package help
