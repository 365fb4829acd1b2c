// Package intonation explains why the notes of a take are off pitch.
//
//	[]Note ── Explain ──> Model: the player's own reference A, what each string, hand frame,
//	                      open string and the hand's span are off by, and how surely
//
// It is one model of the whole take:
//
//	cents of a note = the reference A + its string + its hand frame (or its open
//	                  string) + its finger + the note itself
//
// Few causes are large: each but A follows Student's t, whose tails let one large
// cause be cheaper than many middling ones, and one cause shared by many notes cheaper
// than many alone (K. L. Lange, R. J. A. Little and J. M. G. Taylor, "Robust statistical
// modeling using the t distribution", 1989). Notes of one frame are therefore no
// independent witnesses of A. What A may be is asked of every A in turn, the other
// causes being fitted to each, so that two readings of a take stand side by side with
// their odds. It knows no tolerance: a stricter level tells more of the same causes.
//
// Read Model first; what it goes by stands at the top of fit.go.
package intonation
