package dsp

import "slices"

// SoFar gives what was heard up to now, for whoever cannot wait for the end: the
// frames that are settled, and onsets and notes as far as they can be told from
// these alone. The last note may still grow; what comes later may change what
// stands here. What is returned is the caller's own.
func (l *Listener) SoFar() *Heard {
	h := l.heard
	n := min(len(h.Frames), len(l.rises))
	h.Frames = slices.Clone(h.Frames[:n])
	h.Floor = floorLevel(h.Frames)
	h.Onsets, h.Faint = findOnsets(h.Frames, l.rises[:n], h.Floor)
	h.Notes = notesHeard(h.Frames, h.Onsets, h.Floor)
	h.Peak = float64(l.peak)
	h.Duration = float64(l.count) / float64(l.rate)
	return &h
}

// Latest gives the last frames settled, at most n of them.
func (l *Listener) Latest(n int) []Frame {
	return slices.Clone(l.heard.Frames[max(0, len(l.heard.Frames)-n):])
}
