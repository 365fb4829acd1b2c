// Package listening is listening back: takes of the piece on the desk, played on a
// loudspeaker while the page shows where they are.
//
//	take ── its hearing ─> Track: when each moment of the music was played
//	Listening: from which measure, a loop, slower, the line under it, another take in turn
//	          └─> legs, one after the other ─> reel ─> loudspeaker ─> Place, on the page
//
// Read Listening first, then track.go.
package listening
