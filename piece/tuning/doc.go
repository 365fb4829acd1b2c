// Package tuning is the check of the strings before anything is played.
//
//	frames of the pitch track ─ standing ─> a pitch that stands ─ which string?
//	    ├─ open: cents from its note at the reference A ────────┐
//	    └─ a harmonic that two neighbours share: beats a second ┴─> Check: a Reading a string
//
// A string is recognised by itself, also where it is far out. Weak or wandering
// sound is "not sure", and changes no reading. Nothing here knows a clock or a
// sample. Read Check first.
//
// Between fourths a gap stays where nothing is told, so that a hum or an octave is no
// string. The median counts where half a second stands still; a pluck may sink. Of two
// neighbours' shared harmonic only the order tells whose it is, so its trust is fair at
// most. A change of bow begins no other string. Two strings at once are not told apart.
package tuning
