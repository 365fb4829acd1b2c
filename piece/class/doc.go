// Package class gathers what was heard of a whole class: who needs what, and
// what all need taught again.
//
//	file names, roster ── Seat ─> students and their recordings ──┐
//	hearings ─────────────────────────────────────────────────────┴─ Gather ─> Sheet
//
// Read Sheet first, then Seat and Gather. Nothing here opens a file or hears
// anything: file names and hearings come in as values. The Sheet is also what
// `endpin class --json` prints; its fields may be added, never renamed.
package class
