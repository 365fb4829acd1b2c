// Package dsp turns the sound of one instrument into the notes that were heard.
//
//	Source ─ samples ─> Listener ─┬─> []Frame   pitch track (YIN), level
//	                              ├─> []Onset
//	                              └─> []Note    notes heard; live: Now, Provisional
//
// It knows nothing of measures or of what was expected. Read Source first, then
// Listener. Times are seconds from the first sample, frequencies hertz, levels
// decibels relative to full scale, pitches MIDI note numbers with a fraction
// (69 is A4, one is a semitone of 100 cents).
//
// # Pitch
//
// The sound is filtered once, which moves no period: nothing below the lowest note
// or far above the highest, and 6 dB an octave less below 100 Hz, since body and
// phone weaken a bass's fundamental and hum and the thump of a pluck lie beside it.
// Hum of the mains, which never pauses, is found and taken out (hum.go).
// It is thinned out (at 44.1 kHz to every eighth sample), and every 10 ms YIN's
// normalised difference gives up to six periods. Neighbouring windows share all but
// a hop of their products, so these are summed hop by hop; no transform is needed.
// YIN's absolute threshold is not used: each octave lower is a little dearer, and a
// path over time (Viterbi, in the manner of pYIN, the candidates themselves as
// states) chooses. "No pitch" is a state too, never 0 Hz. Evidence fades with the
// level, since other strings ring on in the tail of a note; a leap is cheap where
// the sound has just risen. The period chosen is measured once more at the full
// rate, by a correlation normalised by both energies, over up to 50 ms.
//
// # Onsets
//
// No single sign serves. Nine add up, each over what would be enough by itself: new
// sound over its bands (spectral flux, a maximum filter against vibrato), a level
// that lifts out of a dip or lies in one, a stroke let go while another takes over, a
// pitch that steps, two pitches that both stand (a slurred note has nothing else), a
// pitch out of noise, periodicity that breaks, a pitch thrown off for a moment. What
// a ringing string does by itself counts only as far as new sound comes in. And out
// of silence nothing sounds that has not begun, however slowly a bow brings it up.
// Beginnings closer than 75 ms are one; so are two bites of a bow at one note, a
// pluck whose body answers first, and two sounds with a period in common below both.
// Weaker signs are kept (Heard.Faint) for whoever expects a note there. A note begins
// where its level comes within 20 dB of its loudest, a slurred one where its pitch
// passes half way: that takes the detector's delay off. What rings on hides that, so a
// note of another pitch begins where those partials begin that are its own, if it is sooner.
//
// # Notes
//
// A note goes from its onset to its release: where its bands fall together and for good,
// since a room and strings ring on in few of them and at rates of their own, or where its
// level comes down to nothing. Its steady part leaves out attack, glide and release; the
// pitch is that part's robust mean, in one octave, so vibrato is judged by its mean. Landing, settling,
// vibrato, plucked or bowed, and trust are measured there. The floor is what a tenth of
// the frames lie below, digital silence left out; Release is how far the sound falls where
// a pause follows a note, which is all that is known of how long a room rings.
//
// # Partials
//
// Explained says how well the partials of some pitches explain a stretch of sound:
// harmonic least squares, each partial at its best amplitude and phase, and the cost of
// the set by the Bayesian information criterion. What they leave has a power of its own in
// each octave, so that soft upper partials count as much as a loud fundamental that
// wavers. For that the band of pitch is kept, at twice its width and sixteen bits: 5 kB a
// second. Of two sets of pitches the one that costs less explains it better; a note is
// told from its octaves by what sounds, or does not, between the partials.
//
// # Live
//
// Provisional is what was heard so far, by the same code over a stretch from a little
// before the first open note; what nothing that comes can change is settled, so a
// look costs no more after an hour than after a second. Finish knows nothing of it.
// A frame is told some 55 ms after its middle: 45 of the longest window, 10 of the
// path's look-ahead. Now tells sooner and less surely what sounds: a beginning by
// levels and rises of frames whose pitch is still to come, or by a pitch that stands
// elsewhere; the pitch from the newest two periods, each lag in a window of its own
// length. A repeated note, re-bowed, cannot be told from the ring before it rises.
//
// # Thresholds
//
// Each number stands named where it is used, with its unit and reason; DEVELOPERS.md
// says how to change one. These may mean one thing twice, and are to be looked at
// together: 9 dB above the room (audibleOver, goneFrom, nowLoudness; doubtLevel is 8);
// periodic enough (pitchedMost 0.35, clearPitch and nowPitched 0.3, heldPeriodic and
// doubtAperiodicity 0.25, in package align 0.4), and plainly so (phaseBroken and
// someAperiodicity 0.12, softClear 0.1); another pitch (stepLeast 40 cents, samePitch
// and enoughPitchStep 60, slurLeast 65, steadyWithin 70, nowNear 0.6 semitones); heard
// at 20 dB under its loudest (heardUnder) or 22 (softUnder); how long a bow takes
// (slowestAttack 0.25 s, softOnsetLate 0.3, growthFrames 0.4); what rings hides a
// pitch for 0.40 s (ringMasks), in package align for 0.35; the room is a tenth of the
// frames (floorShare) or a hundredth (quietShare); a period of the lowest E
// (levelWindow, refineSpan); near the top of the sampling rate (bandOfRate 0.4,
// fluxOfRate 0.45).
//
// # go-dsp
//
// Its FFT, used for flux, allocates and starts goroutines for each transform; with
// one worker they stay in step. SetWorkerPoolSize writes an unguarded global of that
// package: it is called once, in init, and nowhere else. Be parallel by file, not
// inside one. Nothing of ours is allocated while sound comes in.
package dsp
