// Package desk is the desk without its window: what lies on it, what is being
// played, and what was heard.
//
//	score, work ── timetable ─┐
//	microphone ── samples ──┬─┴─> attempt ─> Live: phase, place, the note that sounds, findings so far
//	                        └─> tape: a WAV on disk as it grows
//	                                 └─ Means.Hear ─> shelf.Take, kept in Folder
//	Take shown ── closelook ─> one measure, its pitch, its beats, its sound
//
// It knows no window and judges nothing: findings come from piece/finding, live
// and at the end alike. Everything that a view shows is a field of Desk or comes
// from one of its methods, and belongs to one goroutine; what other goroutines
// find out comes back through Means.Post. Time is counted in samples, so that
// tests pump it. Read Desk first, then attempt.
//
// A part of the desk is a package below this one. It gets a host of a few methods, told
// where they are used, and knows neither the desk nor another part.
//
// Only Desk.listen touches an attempt while it runs: it reads 10 ms, writes them to disk
// (a header renewed every second, so that tape.Repair loses nothing after a kill), and posts
// a Live where there is something new to draw, else twice a second. A look judges the
// last measures on a goroutine of its own, for no more than a twelfth of a core; only
// findings whose measures are past are shown. At the end Means.Hear judges the file, by
// the code of endpin hear, and that is kept. Findings go by the beat that the player
// keeps, so the sound card's delay moves the cursor and the one sentence about the
// click, and nothing else. What sounds is laid out before a place in the loudspeaker's
// sound is chosen; a drone begins before the count-in, in which it is learned to be
// taken out, so no take on disk holds one.
//
// A take belongs to the player whose desk it was as it began. A microphone that is gone
// ends the take, which is judged as far as it goes; a loudspeaker is opened again every
// second, the same device and no other, since who wore headphones does not want the
// room to sound.
package desk
