// Package desk is the desk without its window: what lies on it, what is being
// played, and what was heard.
//
//	Score, Work ── Timetable ─┐
//	microphone ── samples ────┴─> Attempt ──┬─> Live: phase, place, the note that sounds, findings so far
//	                                        └─> Recorder: a WAV on disk as it grows
//	                                                 └─ Means.Hear ─> Take, kept in Folder
//	Take shown ── LookCloser ─> Closer: one measure, its pitch, its beats, its sound
//
// It knows no window and judges nothing: findings come from piece/finding, live
// and at the end alike. Everything that a view shows is a field of Desk or comes
// from one of its methods, and belongs to one goroutine; what other goroutines
// find out comes back through Means.Post. Time is counted in samples, so that
// tests pump it. Read Desk first, then Attempt.
package desk
