// Package classroom is a folder of students' recordings on the desk without its
// window: what is to be heard and how, how far that has come, and what came of it.
//
//	Asked ── Class.Start ─> Told … ─> Sheet ── Row, Evidence, Play
//
// All goes as in `endpin class`. Read Class first.
package classroom
