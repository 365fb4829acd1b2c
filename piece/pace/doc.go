// Package pace follows the pace a player keeps: onsets heard against the times they are
// written at.
//
//	[]Onset ── Follow ──> Course: for each onset where the beat has it, how fast it goes
//	                      there, where it is put off, and where another pace begins
//
// It is one model with states, a switching state space in the manner of Cemgil, Kappen,
// Desain and Honing ("On tempo tracking: Tempogram representation and Kalman filtering",
// J. New Music Res. 29, 2000) and of Raphael ("Music plus one", 2001). Between changes the
// beat goes at a steady pace that may drift evenly and that breathes about it, as anybody's
// does over a phrase. Between two onsets the beat may be put off (a hesitation, a beat
// swallowed), or another pace begin; an onset may lie off the beat by itself. Each of
// these has a price, that of how seldom it is and of what it leaves open, so that the set
// of causes that explains the onsets at the least price is the one with the greatest
// likelihood. No cause needs a threshold of its own. Once the causes are known, the beat lies
// where all manners of playing put it, each by how likely it is.
//
// Read Follow first; what it goes by stands at the top of state.go.
package pace
