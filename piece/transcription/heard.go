package transcription

import (
	"math"
	"slices"
	"sort"

	"endpin/dsp"
)

const (
	// boundFresh is how much new sound, dB a band, a note at most brings in that no stroke
	// began.
	boundFresh = 1.5

	// signLeast is how strong a sign of a stroke is at least, where 1.2 is an onset: of takes of
	// seeds 5601 to 5612 the four that were strokes had 0.8 and more, and of 410 that were none 324
	// less than 0.6. Tuned on them.
	signLeast = 0.6

	// signLate is how much later than its stroke a sign of one is seen, s: 0.04, with a
	// deviation of 0.015, by the takes that Sound.price names.
	signLate = 0.04

	// damped is how fast the level falls, dB a second, where a plucked string is stopped: it
	// dies away at some 30 at first and ever more slowly, by up to 90 where it beats with the body,
	// and a room of half a second falls by 120 (by definition of its reverberation time). Looked at
	// on plucked takes of seeds 8001 to 8108 (testdata/figures/written.md).
	damped   = 100
	dampedIn = 0.1  // s within which it does
	comesUp  = 0.06 // s before the next note that may be its own beginning
)

// Heard takes what was heard in a recording as what was played: the notes, to where they end,
// at the pitches that their partials and the line tell, and inside of them the signs of strokes
// too faint to be notes by themselves. low is the lowest string, a MIDI number.
func Heard(h *dsp.Heard, low int) (sounds []Sound) {
	all := make([][]reading, len(h.Notes))
	for i := range all {
		all[i] = readings(h, i)
	}
	taken, another := likeliest(all, low)
	faint := h.Faint
	for i, n := range h.Notes {
		end, next := n.Offset, math.Inf(1)
		if i+1 < len(h.Notes) {
			next = h.Notes[i+1].Onset
		}
		if n.Plucked {
			end = ringsTo(h.Frames, n.Offset, next)
		}
		s := Sound{Onset: n.Onset, Offset: end, Pitch: all[i][taken[i]].pitch, Weak: n.Trust == dsp.NotSure, Another: another[i],
			Bound: n.Kind == dsp.PitchChange && n.Fresh < boundFresh && !n.Plucked}
		sounds = append(sounds, s)
		for len(faint) > 0 && faint[0].Time <= n.Onset {
			faint = faint[1:]
		}
		for ; len(faint) > 0 && faint[0].Time < min(n.Offset, next); faint = faint[1:] {
			s.Onset, s.Since, s.Bound, s.Soft = faint[0].Time-signLate, faint[0].Time-n.Onset, false, true
			if faint[0].Strength >= signLeast && s.Onset > sounds[len(sounds)-1].Onset {
				sounds = append(sounds, s)
			}
		}
	}
	return sounds
}

// roughFrom is how aperiodic three notes of four are in a take that is rough. Rendered pianos
// and guitars in chords have 0.006 to 0.018, one bass has up to 0.007, plucked and by a phone;
// but 0.01 and more in noise 30 dB under it, and in martelé, spiccato and staccato of the
// phrases: which of these it is does not show. Tuned on all of them.
const roughFrom = 0.01

// Rough tells whether most of what was heard is no one string left to sound in a quiet room.
func Rough(h *dsp.Heard) bool {
	var all []float64
	for _, n := range h.Notes {
		all = append(all, n.Aperiodicity)
	}
	slices.Sort(all)
	return len(all) > 0 && all[len(all)/4] > roughFrom
}

// ringsTo is where a plucked note ends that the pitch was followed to from: it may ring on,
// too soft for its pitch to be told, until it is damped or the next one begins. Its level
// falls, too, where string and body beat, but comes up again.
func ringsTo(frames []dsp.Frame, from, next float64) float64 {
	at := func(t float64) int { return sort.Search(len(frames), func(i int) bool { return frames[i].Time >= t }) }
	if len(frames) == 0 {
		return from
	}
	end, later := max(from, min(next, frames[len(frames)-1].Time)), math.Inf(-1)
	for i := at(next-comesUp) - 1; i >= at(from); i-- {
		later = max(later, frames[i].Level) // the loudest of what comes behind
		if before := at(frames[i].Time - dampedIn); frames[before].Level-later > damped*dampedIn {
			end = max(from, frames[before].Time)
		}
	}
	return end
}
