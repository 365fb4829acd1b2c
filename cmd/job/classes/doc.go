// Package classes hears a folder of students' recordings and writes what a teacher gets of it,
// for every program.
//
//	pieces, folder, roster ── Class ── Hear ─> Heard: a sheet a piece ─┐
//	                                                                   ├─ Write ─> sheets, pages, table, pages home
//	what the teacher adds, saved pages ── RemarksIn, ReadBack ─────────┤
//	the class's diary ── WeeksIn, TermOf ──────────────────────────────┘
//
// Read Class first. Hear hears one file a core, the largest first, and tells the sheets after
// each. What was heard is kept in OUT/kept, named by the recording's bytes, its name, the pieces,
// the options and finding.Listening: a run that was stopped goes on there. What could not be
// opened is not kept. Nothing is written over what a class is made from; after a whole run what
// belongs to other recordings goes away, unless somebody changed it. No more of the children's
// sound stays than the pages show: two seconds for each thing worth fixing, 8 kHz, 16-bit WAV.
package classes
