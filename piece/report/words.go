package report

import (
	"math"

	"endpin/piece"
	"endpin/piece/finding"
	"endpin/piece/words"
)

// what says in a few words what was heard. The sentence for the player is the
// finding's own.
func (m *music) what(f *finding.Finding, h *finding.Hearing, o Options) string {
	key := "report.what." + string(f.Kind)
	say := func(end string, places ...any) string {
		return words.Say(key+end, append(places, "beat", words.Beats(f.Beat))...)
	}
	switch row := f.Kind.Row(); {
	case len(f.Places) > 0 && math.Abs(f.Value) == piece.Octave && row.Unit == finding.Semitones:
		return say(".octave", "n", 1+len(f.Places))
	case len(f.Places) > 0 && f.Kind == finding.WrongNote && m.of(f) != nil:
		n := m.of(f)
		return say(".alike", "heard", m.pitchName(n.MIDI+int(math.Round(f.Value)), n.Measure), "note", m.name(n), "n", 1+len(f.Places))
	case f.Kind == finding.Paused && h.AtShifts(f):
		return say(".shifts", "n", 1+len(f.Places))
	case len(f.Places) > 0:
		return say(".often", "n", 1+len(f.Places))
	case row.OffBeat() && h.AtShifts(f):
		return say(".shifts", "notes", f.Notes)
	case row.About == finding.OneNote && h.Throughout(f):
		return say(".manner", "notes", f.Notes)
	case row.About == finding.HandFrame:
		n := written(h, f)
		if n == nil || n.Position == "" || n.Position == "0" {
			return say("")
		}
		to := words.Position(n.Position).Brief()
		if name := o.stringName(n.String); name != "" {
			return say(".on", "position", to, "string", words.OpenString(name))
		}
		return say(".to", "position", to)
	case row.OffPitch() && (f.ToMeasure != f.Measure || f.Notes > 1):
		return say(".frame")
	case f.Kind == finding.Missing && f.Notes > 1:
		return say(".run", "notes", f.Notes)
	case f.Kind == finding.Extra:
		if note, known := m.extra(f, h); known {
			return say(".note", "note", note)
		}
		return say("")
	case f.Kind == finding.WrongNote && m.of(f) != nil && int(math.Round(f.Value))%12 != 0:
		n := m.of(f)
		return say(".for", "heard", m.pitchName(n.MIDI+int(math.Round(f.Value)), n.Measure), "note", m.name(n))
	case row.About == finding.OneNote:
		if n := m.of(f); n != nil {
			return say(".note", "note", m.name(n))
		}
		return say("")
	case f.Kind == finding.Tempo:
		return say("." + tempo(f, h))
	case f.Kind == finding.Tuning:
		if h.WholeInstrument(f) {
			return say(".whole", "instrument", h.Called())
		}
		return say(".string")
	case row.About == finding.WentBack:
		return say("", "measure", f.Measure)
	}
	return say("", "said", m.bare(f))
}

// bare is a finding's sentence without the words that a row says already.
func (m *music) bare(f *finding.Finding) string {
	if s := f.Said; words.Here().Has(s.Key + ".bare") {
		s.Key += ".bare"
		return clean(s.String())
	}
	return clean(f.Text)
}

// tempo is how a take's pace was.
func tempo(f *finding.Finding, h *finding.Hearing) string {
	switch off := f.Value - h.TempoAsked; {
	case f.FromQPM > f.ToQPM:
		return "slowing"
	case f.FromQPM < f.ToQPM:
		return "quickening"
	case h.TempoAsked <= 0 || math.Abs(off) <= f.Tolerance:
		return "unsteady"
	case off < 0:
		return "slower"
	}
	return "faster"
}

// extra names a note too many, where it is known.
func (m *music) extra(f *finding.Finding, h *finding.Hearing) (note words.Note, known bool) {
	for i := range h.Notes {
		n := &h.Notes[i]
		if n.State == finding.StateExtra && n.Measure == f.Measure && n.Pass == f.Pass && math.Abs(n.Beat-f.Beat) < 0.3 {
			if bar := m.bar(f.Measure, f.Pass); bar >= 0 {
				return m.pitchName(n.MIDI, m.bars[bar].Measure), true
			}
		}
	}
	return note, false
}

// written is the hearing's note that a finding begins on; nil for none.
func written(h *finding.Hearing, f *finding.Finding) *finding.Note {
	for i := range h.Notes {
		n := &h.Notes[i]
		if n.State != finding.StateExtra && n.Measure == f.Measure && n.Pass == f.Pass && math.Abs(n.Beat-f.Beat) < 0.01 {
			return n
		}
	}
	return nil
}
