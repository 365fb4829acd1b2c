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
//
// HearClass hears a folder, one file a core, the largest first, and tells a new Sheet
// after each. What was heard is kept in OUT/kept, named by the recording's bytes, its
// name, the piece, the options and finding.Listening: a run that was stopped goes on
// there. What could not be opened is not kept. Nothing is written over what a class is
// made from; after a whole run what belongs to other recordings goes away, unless
// somebody changed it. No more of the children's sound stays than the pages show: two
// seconds for each thing worth fixing, 8 kHz, 16-bit WAV.
package job
