package dsp

import (
	"cmp"
	"math"
	"slices"
)

// What rings on hides where the next note begins, but not where those of its partials
// begin that the sound before did not have.

// Tried on sampled basses in a room of 0.4 s and on modelled ones; no source.
const (
	ownWindow = 0.04        // s of sound whose partials are told apart
	ownStep   = 0.01        // s
	ownReach  = 0.2         // s before and after a beginning as it was found, in which the note's partials come up
	ownLead   = 2 * dipLead // s before the deepest point that they may: before that something else is let go
)

// uncover moves the beginnings of notes, and the onsets that stand for them, to where their
// own partials begin, if what rang before hid that; before is the note before them, which is
// done with, nil for none. A pluck is heard through whatever rings. What else was measured of
// a note stays: it was where the note was heard alone.
func (h *Heard) uncover(before *Note, notes []Note, onsets []Onset) {
	at := map[float64]*Onset{}
	for i := range onsets {
		at[onsets[i].Time] = &onsets[i]
	}
	for i := range notes {
		n := &notes[i]
		if before != nil && !n.Plucked && 100*math.Abs(n.Pitch-before.Pitch) >= samePitch {
			earliest := before.Onset + leastInterOnset
			if i == 0 {
				earliest = before.Offset
			}
			t, ok := h.ownBeginning(n, before)
			if t = max(t, earliest, h.soft(n)); ok && t < n.Onset {
				at[n.Onset].Time, n.Onset = t, t
				if i > 0 {
					before.Offset, before.SteadyTo = min(before.Offset, t), min(before.SteadyTo, t)
				}
			}
		}
		before = n
	}
}

// ownBeginning is when the partials of a note that are not the one's before begin, s: as
// an attack does, at a quarter of their peak. Low notes have too many for so short a time.
func (h *Heard) ownBeginning(n, before *Note) (t float64, ok bool) {
	s := &Stretch{x: make([]float64, int(ownWindow*h.bandRate)), rate: h.bandRate, top: h.bandTop}
	old := 2 * len(s.partials([]float64{before.Pitch}).steps)
	j := s.partials([]float64{before.Pitch, n.Pitch})
	if j.factor(); len(j.rows) == old || len(j.steps) >= len(s.x)/4 {
		return 0, false
	}
	var own []float64
	peak := 0
	for at := n.Onset - ownReach; at < math.Min(n.Offset, n.Onset+ownReach); at += ownStep {
		from := int((at - ownWindow/2) * h.bandRate)
		if from < 0 || from+len(s.x) > len(h.band) {
			return 0, false
		}
		s.take(h.band[from:])
		j.fit()
		if own = append(own, math.Sqrt(dot(j.along[old:], j.along[old:]))); own[len(own)-1] > own[peak] {
			peak = len(own) - 1
		}
	}
	if peak == 0 {
		return 0, false
	}
	least := slices.Min(own[:peak])
	foot := least + attackFoot*(own[peak]-least)
	k := peak
	for own[k-1] > foot {
		k--
	}
	return n.Onset - ownReach + ownStep*(float64(k)-(own[k]-foot)/(own[k]-own[k-1])), true
}

// soft is the last moment before a note was heard at which a quarter of it cannot sound
// yet, s: all that sounds is softer, or something else is let go.
func (h *Heard) soft(n *Note) float64 {
	hop := h.Frames[1].Time - h.Frames[0].Time
	k := int((n.Onset - h.Frames[0].Time) / hop)
	about := h.Frames[max(0, k-lowBefore):min(len(h.Frames), k+lowAfter+1)]
	t := slices.MinFunc(about, func(a, b Frame) int { return cmp.Compare(a.Level, b.Level) }).Time - ownLead
	for _, f := range about {
		if f.Level < n.Level+20*math.Log10(attackFoot) {
			t = math.Max(t, f.Time)
		}
	}
	return t
}
