// Package midi reads and writes Standard MIDI Files ("Standard MIDI Files 1.0", RP-001,
// MIDI Manufacturers Association, 1996), of type 0 and 1.
//
//	file ── Read ──> File: tracks of notes, tempos, metres, keys
//	piece.Piece ── Write ──> a file of type 0, its repeats played out
//
// What a file's notes mean on the page is package transcription's to find.
package midi
