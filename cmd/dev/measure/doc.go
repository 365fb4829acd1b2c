// Command measure prints the figures that Endpin is held to, measured on takes
// with known truth that are composed and rendered as it runs:
//
//	go run ./cmd/dev/measure                 every row
//	go run ./cmd/dev/measure --only onsets   onsets of rendered and real bass notes: F, bias, spread
//	go run ./cmd/dev/measure --only notes    pitch of the notes inside the same takes
//
// Options: --only pitch|onsets|notes|faults|clean|speed, --seeds N (how many
// tunes), --seed S (the first one), --keep DIR (keeps each take as WAV with its
// truth beside it). Scoring of onsets and notes is mir_eval's, and aubio and
// Praat hear the same files in the same run; a row whose tool is missing says so.
package main
