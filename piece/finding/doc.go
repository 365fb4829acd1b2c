// Package finding judges a take: what a good teacher would have heard, measure
// by measure.
//
//	piece.Line, fingerboard.Plan ─┐
//	dsp.Heard ── align.Align ─────┴─> Judge ──> Hearing: notes and findings
//
// What a finding is, and how it reads, is decided here and nowhere else. Read
// Finding first, then Judge.
package finding
