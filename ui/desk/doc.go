// Package desk is the desk without its window: what lies on it, what is being
// played, and what was heard.
//
//	score, work ── room.Asked ─> room: an attempt with its sound ─> Live: phase, place, the note that sounds, findings so far
//	                              └─> tape: a WAV on disk as it grows
//	                                   └─ Means.Hear ─> shelf.Take, kept in Folder
//	Take shown ── closelook ─> one measure, its pitch, its beats, its sound
//
// It knows no window and judges nothing: findings come from piece/finding, live
// and at the end alike. Everything that a view shows is a field of Desk or comes
// from one of its methods, and belongs to one goroutine; what other goroutines
// find out comes back through Means.Post, by an errand. Time is counted in samples, so
// that tests pump it. Read Desk first, then room.
//
// A part of the desk is a package below this one. It gets a host of a few methods, told
// where they are used, and knows neither the desk nor another part.
//
// A take's file is whole at every second (tape.Repair loses nothing after a kill). At the
// end Means.Hear judges it, by the code of endpin hear, and that is kept. Findings go by
// the beat that the player keeps, so the sound card's delay moves the cursor and the one
// sentence about the click, and nothing else. A take belongs to the player whose desk it
// was as it began. A microphone that is gone ends the take, which is judged as far as it
// goes.
package desk
