package gist

import (
	"math"

	"endpin/dsp"
	"endpin/piece"
	"endpin/piece/finding"
	"endpin/piece/words"
)

// Of says the whole of a take in one sentence of at most twelve words: its pace where that
// was kept, and what is most worth fixing. It says nothing of a take without a note.
func Of(p *piece.Piece, h *finding.Hearing) words.Sentence {
	if h.NotesHeard() == 0 {
		return words.Of("gist.nothing-heard")
	}
	qpm, steady := words.Whole(h.TempoHeard), Steady(p, h)
	if f, n := first(h); f != nil {
		said, key := fault(h, f, n), "gist.says"
		if steady {
			key += ".steady"
		}
		if f.Trust != dsp.Sure {
			key += ".perhaps"
		}
		return words.Of(key, "qpm", qpm, "fault", said, "Fault", words.Capital(said.String()))
	}
	key, clean := "gist.plain", fineMeasures(p, h)
	switch {
	case !h.Judged(p):
		return words.Of("gist.not-sure")
	case clean > 0:
		key = "gist.clean"
	}
	if steady {
		key += ".steady"
	}
	if clean > 0 {
		return words.Many(key, clean, "qpm", qpm)
	}
	return words.Of(key, "qpm", qpm)
}

// OfClass says the whole of a class in one sentence of at most twelve words: the fault that
// most share, as so many of so many had it; f is nil where none is shared.
func OfClass(heard int, f *finding.Finding, students, of int) words.Sentence {
	if f == nil {
		return words.Many("gist.class.none", heard)
	}
	return words.Of("gist.class", "students", students, "of", of, "fault", fault(nil, f, 1))
}

// first is the finding that a take is told by, and how many of its kind there are: what is
// most worth fixing, else what is no fault and yet is told, as that the recording ends.
func first(h *finding.Hearing) (f *finding.Finding, n int) {
	for i := range h.Findings {
		if x := &h.Findings[i]; f == nil && x.Kind.Row().Weight == 0 && x.Kind != finding.NotSure {
			f, n = x, 1
		}
	}
	order := h.WorthFixing
	if len(order) == 0 { // what was, has been put aside
		order = h.Worth()
	}
	if len(order) == 0 || order[0] < 0 || order[0] >= len(h.Findings) {
		return f, n
	}
	f, n = &h.Findings[order[0]], 0
	for i := range h.Findings {
		x := &h.Findings[i]
		switch {
		case x.Kind != f.Kind || x.Weight() == 0 || h.WholeInstrument(x) != h.WholeInstrument(f):
		case x.Kind == finding.Missing: // each tells of notes in a row
			n += x.Notes
		default:
			n += 1 + len(x.Places)
		}
	}
	return f, n
}

// fault says what is amiss in at most eight words that begin no sentence: once, in its
// measures, or so many times. h is nil for a class.
func fault(h *finding.Hearing, f *finding.Finding, n int) words.Sentence {
	key := "gist.fault." + string(f.Kind)
	row := f.Kind.Row()
	switch {
	case f.Kind == finding.Tempo:
		return words.Of(key+"."+tempo(h, f), "qpm", words.Whole(f.Value), "asked", words.Whole(asked(h)), "from", words.Whole(f.FromQPM), "to", words.Whole(f.ToQPM))
	case f.Kind == finding.Tuning && h != nil && h.WholeInstrument(f) && h.Level == finding.FirstYear.Name:
		return words.Of(key+".whole.in-words", "instrument", h.Called())
	case f.Kind == finding.Tuning && h != nil && h.WholeInstrument(f):
		return words.Of(key+".whole", "instrument", h.Called(), "cents", words.Whole(math.Abs(f.Value)))
	case f.Kind == finding.NotSure:
		return words.Of("gist.fault.not_sure")
	case h != nil && (f.Kind == finding.Paused || row.OffBeat()) && h.AtShifts(f):
		key += ".shifts"
	case f.Kind == finding.WrongNote && len(f.Places) > 0 && n == 1+len(f.Places):
		if key += ".alike"; math.Abs(f.Value) == piece.Octave {
			key = "gist.fault.wrong_note.octave"
		}
	case h != nil && row.About == finding.OneNote && h.Throughout(f) && words.Here().Has(key+".manner"):
		key += ".manner"
	case n == 1 && len(f.Places) == 0 && row.About == finding.OneNote && f.ToMeasure != f.Measure && words.Here().Has(key+".along"):
		key += ".along" // a hand that lay off, or a manner
	}
	if h != nil && h.Level == finding.FirstYear.Name && words.Here().Has(key+".in-words") {
		key += ".in-words" // as the page says it
	}
	where := words.Of("gist.measure", "measure", f.Measure)
	if f.ToMeasure != f.Measure && f.Marked() {
		where = words.Of("gist.measures", "from", f.Measure, "to", f.ToMeasure)
	}
	return words.Many(key, n, "where", where, "number", words.NumberWord(n))
}

// tempo is how the pace was, of a take or of a class.
func tempo(h *finding.Hearing, f *finding.Finding) string {
	switch {
	case h == nil:
		return "class"
	case f.FromQPM > f.ToQPM:
		return "slowing"
	case f.FromQPM < f.ToQPM:
		return "quickening"
	case h.TempoAsked > 0 && math.Abs(f.Value-h.TempoAsked) > f.Tolerance:
		return "off"
	}
	return "unsteady"
}

func asked(h *finding.Hearing) float64 {
	if h == nil {
		return 0
	}
	return h.TempoAsked
}
