// Package class gathers what was heard of a whole class: who needs what, and
// what all need taught again.
//
//	file names, roster ── Seats ─> students, their recordings, and questions ──┐
//	hearings ──────────────────────────────────────────────────────────────────┴─ Gather ─> Sheet ─┐
//	what the teacher added ── Remarks ─ Apply ───────────────────────────────────────────────> pages
//	takes of many weeks ── Compare ─ OverWeeks ─> Term
//
// Read Sheet first, then Seats and Gather, then Remarks and Term. Nothing here opens a file,
// looks at a clock or hears anything: file names, times and hearings come in as values. The
// Sheet is also what `endpin class --json` prints of one piece, the Term of several; their
// fields may be added, never renamed.
//
// A file is given to one student: by a pattern, by a roster's name that stands in the file's,
// whatever stands beside it; where nobody can be meant, or two, it is asked. Ordinary words
// (ordinary.txt), and those that stand beside three students' names, name nobody. Of takes
// equally clear the newest counts, whatever its findings. What to teach again counts students,
// not findings, and measures of the same music together (outline.Learned). What is said first
// of each, and what went well, is piece/gist's.
package class
