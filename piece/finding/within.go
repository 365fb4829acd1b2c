package finding

import (
	"math"
	"slices"

	"endpin/piece"
)

// Within reports whether a note was heard and lies within what the take's level lets
// pass: in pitch, in when it began and in how long it sounded. Where one of them could
// not be told it does not. e is the note as written; nil for one of which nothing more
// is known than that it is to be held.
func (h *Hearing) Within(n *Note, e *piece.Expected) bool {
	level, err := LevelByName(h.Level)
	if err != nil {
		level = Intermediate
	}
	if n.State != StatePlayed || n.Cents == nil || n.LateMS == nil || n.Held == nil ||
		math.Abs(*n.Cents) > level.Note || math.Abs(*n.LateMS) > level.Onset {
		return false
	}
	free, rest := h.Plucked, false // to be let go when the player likes, and with a rest to run into
	if e != nil {
		a := e.Articulation
		free, rest = free || a.Staccato || a.Fermata || a.Breath || a.Pizz, e.RestAfter > 0 && n.Finger != "0"
	}
	return (free || *n.Held >= level.Held) && (free || !rest || *n.Held <= 2-level.Held)
}

// note is the note of the line at a beat; nil for none.
func (h *Hearing) note(measure string, pass int, beat float64) *Note {
	for i := range h.Notes {
		if n := &h.Notes[i]; n.State != StateExtra && n.Measure == measure && n.Pass == pass && sameBeat(n.Beat, beat) {
			return n
		}
	}
	return nil
}

// Covers gives the first and the last of the notes that a finding covers, as indexes into
// Notes, -1 where there are none. What begins or ends beyond the notes asked for covers
// them to their end.
func (h *Hearing) Covers(f *Finding) (first, last int) {
	first, last = -1, -1
	for i := range h.Notes {
		n := &h.Notes[i]
		if n.State == StateExtra {
			continue
		}
		if n.Measure == f.Measure && n.Pass == f.Pass && (first < 0 || h.Notes[first].Beat < f.Beat && !sameBeat(h.Notes[first].Beat, f.Beat)) {
			first = i
		}
		if n.Measure == f.ToMeasure && n.Pass >= f.Pass && i >= first && (last < 0 || n.Pass == h.Notes[last].Pass) {
			last = i
		}
	}
	if first < 0 && len(h.Notes) > 0 {
		first = 0
	}
	if last < 0 {
		last = len(h.Notes) - 1
	}
	return first, max(first, last)
}

// Throughout reports whether a finding tells how the whole take was played, and of no place.
func (h *Hearing) Throughout(f *Finding) bool {
	if row := f.Kind.Row(); row.About != OneNote || len(f.Places) > 0 || f.Measure == f.ToMeasure {
		return row.About == WholeTake
	}
	first, last := h.Covers(f)
	heard := func(n Note) bool { return n.Onset != nil && n.State != StateExtra }
	return !slices.ContainsFunc(h.Notes[:max(0, first)], heard) && !slices.ContainsFunc(h.Notes[min(len(h.Notes), last+1):], heard)
}

// NotesOf gives the notes that a finding is about, as indexes into Notes.
func (h *Hearing) NotesOf(f *Finding) (all []int) {
	first, last := h.Covers(f)
	if len(f.Places) > 0 { // each alone, and not what lies between
		last = first
	}
	for k := first; k >= 0 && k <= last; k++ {
		all = append(all, k)
	}
	for i := range h.Notes {
		n := &h.Notes[i]
		if n.State != StateExtra && slices.ContainsFunc(f.Places, func(p Place) bool { return p.Measure == n.Measure && p.Pass == n.Pass && sameBeat(p.Beat, n.Beat) }) {
			all = append(all, i)
		}
	}
	return all
}

// AtShifts reports whether most of the notes that a finding names together stand after shifts:
// of several places each, of how the whole take was played those that came late or early by
// more than is let pass.
func (h *Hearing) AtShifts(f *Finding) bool {
	at, all := 0, 0
	for _, k := range h.NotesOf(f) {
		n := &h.Notes[k]
		if len(f.Places) == 0 && (n.LateMS == nil || *n.LateMS*f.Value <= 0 || math.Abs(*n.LateMS) <= f.Tolerance) {
			continue
		}
		if all++; n.AfterShift {
			at++
		}
	}
	return (len(f.Places) > 0 || h.Throughout(f)) && 2*at > all
}

// WholeInstrument tells a finding of the whole instrument's tuning, which is the reference heard,
// from one of a string of it.
func (h *Hearing) WholeInstrument(f *Finding) bool {
	return h.HeardA > 0 && h.ReferenceA > 0 && math.Abs(1200*math.Log2(h.HeardA/h.ReferenceA)-f.Value) < 1
}
