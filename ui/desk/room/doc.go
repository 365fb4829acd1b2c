// Package room is what hears and what sounds around a desk: its microphone and its
// loudspeaker, and an attempt that goes on between them.
//
//	names ── Microphone, Loudspeaker ─> devices, another in the place of one that is away
//	Asked ── Room.Begin ─┬─ microphone ── without the drone ──┬─> attempt ─> Live, Loudness
//	                     │                                    └─> tape
//	                     └─ what sounds ─> loudspeaker, again and again where it stops
//	at the end ─> Played
//
// Only run.listen touches an attempt while it runs: it reads 10 ms, writes them to the
// tape, and posts a Live where there is something new to draw, else twice a second. A
// look judges the last measures on a goroutine of its own, for no more than a twelfth of
// a core. What sounds is laid out before a place in the loudspeaker's sound is chosen; a
// drone begins before the count-in, in which it is learned to be taken out, so that no
// tape holds one.
//
// A loudspeaker that stops is opened again every second, the same device and no other,
// since who wore headphones does not want the room to sound. A microphone that stops
// ends the attempt. Between attempts the microphone can be tried, and the delay from
// loudspeaker to microphone measured. Read Room first, then run.
package room
