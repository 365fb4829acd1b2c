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
package voice
