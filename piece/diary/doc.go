// Package diary keeps what was heard, over months, in one SQLite file.
//
//	finding.Hearing, piece, sound ── Add ──> diary ─┬─ Weeks ──> package weeks: what they come to
//	what holds on the desk ── AddMended ──────^     ├─ Heard, Takes, Mended
//	        (rows: package packed)                  ├─ Export, Import (text: package exported)
//	                                                └─ Check, Forget
//
// A player has takes; a take has hearings, one for each version of the listening
// that judged it, of which one is counted; a hearing has notes, findings and
// landings. A piece is its notes and rhythm, a shift its measure, beat, from and
// to. The tables are in schema.go and may be read by the sqlite3 program.
//
// It judges nothing and looks at no clock: the time is handed in. It and exported
// are the packages below piece that open files. Read Diary first, then Take.
//
// The file is in WAL mode with immediate transactions and secure_delete. A take is known by the
// SHA-256 of its recording and its time, a piece by that of onsets, lengths and
// pitches of its line. Each take counts its newest hearing; what an older
// finding.Listening judged is left out of a comparison, not mixed in. Kept sound lies
// in FILE.sounds as it came, named by content. FILE.good is a whole copy, looked
// through before it takes the last one's place, renewed by Check and now and then
// after Add. A new schema is a new entry of steps; the old file is kept until the step
// is committed and the new one found whole.
package diary
