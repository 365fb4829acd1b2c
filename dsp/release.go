package dsp

import (
	"math"

	"endpin/dsp/robust"
)

// Set by ear on rendered rooms; no source.
const (
	releasePause  = 0.35 // s of pause that a note must be followed by
	releaseNote   = 0.15 // s that it must last
	releaseBefore = 0.06 // s before its end …
	releaseAfter  = 0.10 // … and after, between which the level falls
	bandsAfter    = 0.30 // s after in which its bands do
	releaseSounds = 12.0 // dB below its level at which a note still sounds
	releaseRoom   = 22.0 // dB above the floor that the note must stand for its fall to be seen …
	releaseSeen   = 5.0  // … or what is left of it
)

// Release is how far the sound falls as notes are let go, dB, the median over those that a
// pause follows; 0 where there is none. It is what the player's own pauses tell of what
// rings on. A room rings in all bands, a string holds the level up in a few.
type Release struct {
	Level float64 // within 0.1 s: 22 and more in a dry room, 18 to 24 in a larger one, 14 in a hall
	Bands float64 // on the mean, within 0.3 s: 19 and more in rooms and under strings that ring, 8 to 12 in a staircase
}

// ReleaseWithin is Release by the notes that begin in a stretch of time, s: by the playing
// alone, where somebody talks before or after it.
func (h *Heard) ReleaseWithin(from, to float64) Release {
	return releaseOf(h.Frames, h.falls, h.Notes, h.Floor, from, to)
}

func releaseOf(frames []Frame, falls []float64, notes []Note, floor, from, to float64) Release {
	if len(frames) < 2 {
		return Release{}
	}
	hop := frames[1].Time - frames[0].Time
	level := func(t float64) float64 {
		k := int(math.Round((t - frames[0].Time) / hop))
		return math.Max(floor, frames[max(0, min(len(frames)-1, k))].Level)
	}
	end := frames[len(frames)-1].Time
	var levels, bands []float64
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
		fell := 0.0
		for k := int((n.Offset + releaseTime - frames[0].Time) / hop); k < min(len(falls), int((n.Offset+bandsAfter-frames[0].Time)/hop)); k += fallLag {
			fell += falls[k]
		}
		levels, bands = append(levels, before-after), append(bands, fell)
	}
	if len(levels) == 0 {
		return Release{}
	}
	return Release{robust.MedianOf(levels), robust.MedianOf(bands)}
}
