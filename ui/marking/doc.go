// Package marking draws the teacher's pencil: what can be set at the note or measure that is
// chosen, under the page, and what is asked before marks are kept.
//
//	desk.Pencil ── Strip ─> buttons, lines to type in; where the marks are kept
//
// Its state is ui/desk/marking. Read Strip.
package marking
