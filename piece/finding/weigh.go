package finding

import (
	"cmp"
	"math"
	"slices"

	"endpin/dsp"
)

// Rank chooses the one or two findings most worth fixing first, beside those of takes
// before this one.
func (h *Hearing) Rank(before ...*Hearing) {
	order := h.Worth(before...)
	h.WorthFixing = append([]int{}, order[:min(2, len(order))]...)
}

// mostNotes is how many notes weigh: more off together are no worse (common practice, no
// source).
const mostNotes = 8

// Weight says how much a finding is worth fixing, whatever its size: 2 is about one late
// note, 0 claims nothing.
func (f *Finding) Weight() float64 {
	w := f.Kind.Row().Weight
	switch f.Trust {
	case dsp.Fair:
		w /= 2
	case dsp.NotSure:
		return 0
	}
	return w * (1 + 0.1*float64(min(mostNotes, f.Notes)))
}

// Worth puts findings in the order in which they are worth fixing, as indexes: first what
// comes again in the take, or came in the takes before, then what slipped once, and last
// what was right the other time round or was put right at once; within each by how far it lies beyond what is let
// pass, for how many notes, and how surely. For a first-year player all that is in time
// comes before pitch. What claims nothing is left out, and one mistake stands in it once.
func (h *Hearing) Worth(before ...*Hearing) []int {
	var order []int
	rank, size := make([]int, len(h.Findings)), make([]float64, len(h.Findings))
	for i := range h.Findings {
		f := &h.Findings[i]
		size[i] = f.Weight() * h.Beyond(f) * f.notesOff()
		if size[i] > 0 && !h.fromTheHand(f) {
			order = append(order, i)
		}
		again := h.comesAgain(i, before)
		switch {
		case !again && (h.rightOtherwise(f) || h.putRight(f)):
			rank[i] = 4
		case !again:
			rank[i] = 1
		}
		if h.Level == FirstYear.Name && !f.Kind.Row().InTime() && rank[i] < 4 {
			rank[i] += 2
		}
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(rank[a], rank[b]), cmp.Compare(size[b], size[a]))
	})
	said := map[mistake]bool{}
	return slices.DeleteFunc(order, func(i int) bool {
		m := h.mistakeOf(&h.Findings[i])
		twice := said[m]
		said[m] = true
		return twice
	})
}

// notesOff is for how many notes a finding counts; tempo and tuning are one thing to set,
// however many notes tell of them.
func (f *Finding) notesOff() float64 {
	if f.Kind == Tempo || f.Kind == Tuning {
		return 1
	}
	return float64(min(mostNotes, max(1, f.Notes)))
}

// atTheEdge is what lies hardly beyond the tolerance, in tolerances: little, not nothing.
const atTheEdge = 0.05

// Beyond is how far a finding lies beyond what is let pass, in tolerances; 1 where size
// says nothing, as of a note left out or another note.
func (h *Hearing) Beyond(f *Finding) float64 {
	off, let := math.Abs(f.Value), f.Tolerance
	switch f.Kind.Row().Unit {
	case NoUnit, Semitones:
		return 1
	case WrittenLengths:
		off, let = math.Abs(1-f.Value), math.Abs(1-f.Tolerance)
	case PaceShare:
		off = math.Abs(1 - f.Value)
	case QuartersAMinute:
		off = math.Abs(f.Value - h.TempoAsked)
	}
	if let <= 0 || off < let { // as a tempo that drifts about the one asked for
		return 1
	}
	return max(atTheEdge, off/let-1)
}

// mistake is what several findings have in common that tell of one thing to learn.
type mistake struct {
	kind  Kind
	place string  // printed measure, or position
	to    string  // position shifted into
	at    float64 // beat, string, or semitones written
}

// mistakeOf is the mistake that a finding tells of: of a hand frame its shift; of a note
// off in pitch what is written, in its position; of all else the place in the measure.
func (h *Hearing) mistakeOf(f *Finding) mistake {
	row := f.Kind.Row()
	n := h.note(f.Measure, f.Pass, f.Beat)
	switch {
	case row.About == Hand || row.About == WholeTake:
		return mistake{kind: f.Kind}
	case row.About == HandFrame:
		for _, l := range h.Landings {
			if l.Measure == f.Measure && l.Pass == f.Pass && sameBeat(l.Beat, f.Beat) {
				return mistake{f.Kind, l.From, l.To, float64(l.String)}
			}
		}
	case (row.OffPitch() || f.Kind == WrongNote) && n != nil && f.Notes < 2:
		return mistake{f.Kind, n.Position, "", float64(n.MIDI)}
	}
	return mistake{f.Kind, f.Measure, "", f.Beat}
}

// comesAgain reports whether the mistake that a finding tells of is told elsewhere too,
// and surely enough to count.
func (h *Hearing) comesAgain(i int, before []*Hearing) bool {
	m := h.mistakeOf(&h.Findings[i])
	in := func(o *Hearing, but int) bool {
		for k := range o.Findings {
			if f := &o.Findings[k]; k != but && f.Trust != dsp.NotSure && f.Kind == m.kind && o.mistakeOf(f) == m {
				return true
			}
		}
		return false
	}
	return in(h, i) || slices.ContainsFunc(before, func(o *Hearing) bool { return in(o, -1) })
}

// rightOtherwise reports whether the note that a finding is about was played as it
// should be another time round.
func (h *Hearing) rightOtherwise(f *Finding) bool {
	if about := f.Kind.Row().About; about != OneNote && about != HandFrame || len(f.Places) > 0 {
		return false
	}
	for i := range h.Notes {
		n := &h.Notes[i]
		if n.Measure == f.Measure && sameBeat(n.Beat, f.Beat) && n.Pass != f.Pass && n.Trust != dsp.NotSure && h.Within(n, nil) {
			return true
		}
	}
	return false
}

// putRight reports whether a hand landed off and the note was in tune all the same.
func (h *Hearing) putRight(f *Finding) bool {
	n := h.note(f.Measure, f.Pass, f.Beat)
	return f.Kind.Row().About == HandFrame && f.Notes == 1 && n != nil && n.Cents != nil && math.Abs(*n.Cents) <= f.Tolerance
}

// fromTheHand reports whether a hand too narrow or too wide, which is told, is why a
// finding of less is off in pitch.
func (h *Hearing) fromTheHand(f *Finding) bool {
	if !f.Kind.Row().OffPitch() {
		return false
	}
	first, last := h.Covers(f)
	for i := range h.Findings {
		o := &h.Findings[i]
		if from, to := h.Covers(o); o.Kind.Row().About == Hand && o.Weight() > 0 && first >= from && last <= to && math.Abs(f.Value) <= math.Abs(o.Value) {
			return true
		}
	}
	return false
}
