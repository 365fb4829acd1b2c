// Package ear hears takes: a file from its beginning, or a take while it is played, so that
// at its end only the judging is left.
//
//	samples ─> Along ─> dsp.Heard ─┐
//	a file or a Held ──────────────┴─ Ear ─> finding.Hearing
//
// Both come to the same: Along hears what its file holds, of 16 bits. Read Ear first.
package ear
