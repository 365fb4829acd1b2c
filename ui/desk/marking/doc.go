// Package marking is the teacher's pencil on the page of the desk: which note or measure is
// chosen, what is set there, and where it is kept.
//
//	keys, presses ── Marking ─> piece/pencil ─> Host.Lay: the page as it is now
//	                    └─ Keep, KeepInFile ─> a copy, or the file itself, which is never written over unasked
//
// What was marked and not kept stays with its piece until the desk is left. Read Marking,
// then keys.go for what each key does.
package marking
