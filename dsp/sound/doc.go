// Package sound is the microphone and the loudspeaker.
//
//	Driver (sound/portaudio, or one that pretends)
//	   │ callback: a copy into a ring, a copy out of a ring
//	   ├─ ring ─> Microphone   a dsp.Source, its level, its clock
//	   └─ ring <─ Loudspeaker <─ Player …   what sounds from which sample on
//	                   └──── Measure ────> Latency, for "late" to mean the player
//
// Nothing here knows a sound card: a Driver does, and the tests bring one that
// pretends. Read Card first, then Microphone and Loudspeaker. Positions are
// samples from the opening of a stream, times seconds. Every error that a user
// may meet is a *Fault; what was heard before it stays.
//
// In the callback sound is copied and counted, and nothing else is done: no
// allocation, no lock, no channel. Rings hold two seconds, which no garbage
// collection takes. What does not fit is counted, and silence of the same length
// takes its place, so that time stays right.
//
// A feeder mixes 0.15 s ahead for the loudspeaker. Microphone.Heard says when a
// position of the loudspeaker is heard, from the times that both devices give and what
// Measure found beyond them. That plays 16 ticks and believes the half that lie nearest
// together; where those are further apart than 5 ms it is not sure.
package sound
