// Package portaudio is the sound.Driver over PortAudio, by the wrapper
// github.com/gordonklaus/portaudio: the only place that knows either.
//
//	wrapper's callback ── channels to one, or one to channels ──> sound's callback, a copy and a count
//
// It needs cgo and portaudio.h; whatever can be decided without a sound card is
// in package sound. Read Driver first, then stream. shim.c only keeps sound
// cards' libraries from writing on a user's terminal.
//
// PortAudio is asked for 40 ms to hear and 120 to play, of which a quarter comes at
// once: with less to play, a busy computer's loudspeaker is silent most of the time.
// It lists devices only as it starts: after one was pulled out, close both
// streams, then open by name again. A device that is gone is told after two seconds
// without a block, since the wrapper gives no other sign. It hands C a stream's number
// as a pointer, which below 4096 Go's runtime takes for a fault: passSmallNumbers has
// them counted from there.
package portaudio
