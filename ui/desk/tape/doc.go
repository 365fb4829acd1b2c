// Package tape keeps the sound of a take on disk as it is played, and in memory what a
// full disk does not take.
//
//	samples ── Recorder ─> a WAV that is whole at every second, and Held where it is not
//	a WAV that was cut off ── Repair ─> as much of it as was written
//
// Read Recorder first.
package tape
