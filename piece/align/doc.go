// Package align matches the notes heard to the notes expected.
//
//	[]piece.Expected ─┐
//	[]dsp.Note ───────┴─> Align ──> Alignment: a Match for every note expected,
//	                                extras, restarts, and the beat the player kept
//
// It knows how students play: at a tempo of their own that drifts, with talk
// before the start, stopping and going back, leaving notes out and putting some
// in. It measures and does not judge. Read Alignment first, then Align.
//
// # The way through
//
// The line gets a clock from the piece's tempo marks. The least-cost way of one row of
// notes through the other weighs pitch and interval in time against notes left out, put
// in, and landings elsewhere; of the ways that fall behind a beam keeps only so many, so
// that time and memory grow with the notes heard and not with the line as well. Matching
// a note earns a reward, or a way that ignores most of the take would be cheap; playing a
// part of the line costs less than a landing, or a note would be taken for the line's
// other end; and nobody begins, or goes back to, a note whose pitch does not fit. Paces
// from 0.45 to 2.2 times the one asked are tried, and other octaves where little agrees,
// on the middle of a long take; then once more, strictly, at the pace and tuning found.
//
// A player may land anywhere, near places rather than far ones (landing.go). Where the
// page says that a measure comes round again, going straight on along the page is
// cheaper, and a landing means the time nearest: so a repeat not taken is one, and not a
// leap in the midst of it (C. Fremerey, M. Müller and M. Clausen, "Handling repeats and
// jumps in score-performance synchronization", ISMIR 2010). Behind a passage that could
// not be followed the player is found again, in time or elsewhere.
//
// While somebody plays, a Follower goes the same ways, note by note: what it tells of the
// last notes is provisional, and what lies behind them is as Align has it.
//
// # What was not heard by itself
//
// Of notes played more than once the last time counts. Halves of a split note are
// joined, a long note is shared between two of one pitch, and what only rings on, or
// begins under a ring at the old pitch, is put to the note it belongs to. Before a note
// counts as missing, or as another, the pitch track is asked: an onset can go unheard in
// noise, in ring or under a slur. What belongs to a note of that pitch nearby is not
// given away.
//
// # The beat
//
// It is followed by piece/pace, each stretch that no restart interrupts by itself: at each
// note it is what all the others tell, so that one late entrance is late by itself; where
// it is put off for good, that is Match.Step, and what goes at one pace, Stretches.
//
// # Thresholds
//
// Each stands named where it is used. These may mean one thing twice, and are to be
// looked at together: what rings hides the pitch of a beginning for 0.35 s (ringMasks),
// in package dsp for 0.40; a pitch is another 0.5 semitones away (inTuneWithin,
// splitWithin), 0.6 (ringPitch, cutWithin), 0.7 (tailPitch, recoverPitch) or 0.8
// (weakPitch, tunedWithin); two sounds hang together within 0.03 s (scoopGap, weakGap),
// 0.06 (cutGap) or 0.08 (ringGap); an onset is weak below 2.0 (splitStrength) or 2.2
// (cutStrength); a scoop lasts up to 0.25 s (scoopLongest), a masked beginning up to
// 0.35; 148 and robust.PerDeviation are the same factor.
package align
