package dsp

import (
	"math"

	"endpin/dsp/robust"
)

// Set by ear on rendered rooms; no source.
const (
	releasePause  = 0.25 // s of pause that a note must be followed by
	releaseNote   = 0.15 // s that it must last
	releaseBefore = 0.06 // s before its end …
	releaseAfter  = 0.10 // … and after, between which the sound falls
	releaseSounds = 12.0 // dB below its level at which a note still sounds
	releaseRoom   = 22.0 // dB above the floor that the note must stand for its fall to be seen …
	releaseSeen   = 5.0  // … or what is left of it
)

// ReleaseWithin is Release by the notes that begin in a stretch of time, s: by the playing
// alone, where somebody talks before or after it.
func (h *Heard) ReleaseWithin(from, to float64) float64 {
	return releaseOf(h.Frames, h.Notes, h.Floor, from, to)
}

// releaseOf is how far the sound falls as a note is let go: the median over the notes
// that begin in a stretch of time and that a pause follows, 0 where there is none.
// It is what the player's own pauses tell of how the room rings, or the strings.
func releaseOf(frames []Frame, notes []Note, floor, from, to float64) float64 {
	if len(frames) < 2 {
		return 0
	}
	hop := frames[1].Time - frames[0].Time
	level := func(t float64) float64 {
		k := int(math.Round((t - frames[0].Time) / hop))
		return math.Max(floor, frames[max(0, min(len(frames)-1, k))].Level)
	}
	end := frames[len(frames)-1].Time
	var falls []float64
	for i, n := range notes {
		next := end
		if i+1 < len(notes) {
			next = notes[i+1].Onset
		}
		if n.Onset < from || n.Onset > to || next-n.Offset < releasePause || n.Offset-n.Onset < releaseNote {
			continue
		}
		before, after := level(n.Offset-releaseBefore), level(n.Offset+releaseAfter)
		if before < n.Level-releaseSounds || before < floor+releaseRoom && after < floor+releaseSeen {
			continue // its string rang on by itself, or it fell into the noise
		}
		falls = append(falls, before-after)
	}
	if len(falls) == 0 {
		return 0
	}
	return robust.MedianOf(falls)
}
