// Package weeks tells what a player's diary comes to, take by take.
//
//	takes, shifts, what was heard in them ──> Weeks ─┬─ Landings ──> package trend
//	                                                 ├─ Measures, Passages, Alone, Tunings
//	                                                 └─ CameBack
//
// It opens no diary: Diary.Weeks reads one. What an older finding.Listening judged is left out of
// a comparison, not mixed in. Read Weeks first.
package weeks
