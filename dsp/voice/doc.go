// Package voice is what the desk itself sounds.
//
//	Click, Drone, Line, Count ── samples at a rate ──> Clip, Loop: what a loudspeaker plays
//
// A click for each beat, a drone to tune to, the line itself as a plain string
// tone, and the numbers of a count-in. Laptop loudspeakers carry little below
// 150 Hz, so the string tone has strong upper partials: an ear supplies the
// fundamental. And a microphone hears what a loudspeaker plays, so the click lies
// above all that the listening looks at: it cannot become a note. Everything is
// made once and then only copied. Read Clip first.
//
// A drone does leak, becomes notes and hides others. Without learns its partials in
// the count-in and takes them out, loudness, lateness and the drift of two sound
// cards' clocks learned, and all of it followed slowly; what is louder than the drone
// is somebody playing, and hardly followed. Nothing takes out the line: it is for
// headphones.
package voice
