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
	ownLeast  = 0.5         // semitones: less is the pitch that rings
)

// uncover moves the onsets that what rang before hides to where their notes' own partials
// begin. A pluck is heard through whatever rings.
func (h *Heard) uncover() {
	of := map[float64]*Note{}
	for i := range h.Notes {
		of[h.Notes[i].Onset] = &h.Notes[i]
	}
	var before *Note
	for i := range h.Onsets {
		o := &h.Onsets[i]
		n := of[o.Time]
		if n == nil {
			continue
		}
		if before != nil && !n.Plucked && math.Abs(n.Pitch-before.Pitch) >= ownLeast {
			if t, ok := h.ownBeginning(n, before); ok {
				t = math.Max(t, math.Max(h.Onsets[i-1].Time+leastInterOnset, h.soft(n)))
				o.Time = math.Min(o.Time, t)
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
	loudest := math.Inf(-1)
	for _, f := range h.Frames[k:min(len(h.Frames), k+int(ownReach/hop))] {
		loudest = math.Max(loudest, f.Level)
	}
	for _, f := range about {
		if f.Level < loudest+20*math.Log10(attackFoot) {
			t = math.Max(t, f.Time)
		}
	}
	return t
}
