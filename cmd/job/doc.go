// Package job reads pieces and recordings from files and judges them, for every
// program.
//
//	piece file ── ReadPiece ─────────────────────────────┐
//	                                                     ├─ Hear ─ hearing, sound heard
//	recording ─ recording.Open ─ Whole (bounded, context) ┘          or why there is none
//
//	what was made ─ WriteFile, WriteJSON ─> a file of one's own, whole or not at all
//
// Read Hear first. All of it may be called from many goroutines at once; one
// piece may be shared among them, since nothing here or below changes it.
// Errors are one line: the file, what is wrong with it, and the mend.
package job
