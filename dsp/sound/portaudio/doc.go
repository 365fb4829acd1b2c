// Package portaudio is the sound.Driver over PortAudio, by the wrapper
// github.com/gordonklaus/portaudio: the only place that knows either.
//
//	wrapper's callback ── channels to one, or one to channels ──> sound's callback, a copy and a count
//
// It needs cgo and portaudio.h; whatever can be decided without a sound card is
// in package sound. Read Driver first, then stream. shim.c only keeps sound
// cards' libraries from writing on a user's terminal.
package portaudio
