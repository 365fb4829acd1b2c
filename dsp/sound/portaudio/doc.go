// Package portaudio is the sound.Driver over PortAudio, the only place that
// knows it. It needs cgo and portaudio.h; whatever can be decided without a
// sound card is in package sound. Read Driver first, then shim.c: the
// callback comes from C, and there is nothing in Go between it and the ring but
// a look at a table.
package portaudio
