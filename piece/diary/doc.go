// Package diary keeps what was heard, over months, in one SQLite file.
//
//	finding.Hearing, piece, sound ── Add ──> diary ─┬─ Landings ──> package trend
//	                                                ├─ Weeks, CleanTempos, Tunings, CameBack
//	                                                └─ Check, Export, Forget
//
// A player has takes; a take has hearings, one for each version of the listening
// that judged it, of which one is counted; a hearing has notes, findings and
// landings. A piece is its notes and rhythm, a shift its measure, beat, from and
// to. The tables are in schema.go and may be read by the sqlite3 program.
//
// It judges nothing and looks at no clock: the time is handed in. It is the one
// package below piece that opens files. Read Diary first, then Take.
package diary
