package report

import (
	"fmt"
	"math"
	"strings"

	"endpin/piece/finding"
)

// what says in a few words what was heard. The sentence for the player is the
// finding's own Text.
func (m *music) what(f *finding.Finding, h *finding.Hearing, o Options) string {
	switch f.Kind {
	case finding.SharpAfterShift, finding.FlatAfterShift:
		word := "sharp"
		if f.Kind == finding.FlatAfterShift {
			word = "flat"
		}
		return word + " after the shift" + m.landing(f, h, o)
	case finding.Sharp, finding.Flat:
		if f.ToMeasure != f.Measure || f.Notes > 1 {
			return string(f.Kind) + ": the hand frame from beat " + beat(f.Beat) + " on"
		}
		return string(f.Kind) + m.onBeat(f)
	case finding.NarrowHand:
		return "hand too narrow, 1st to 4th finger"
	case finding.WideHand:
		return "hand too wide, 1st to 4th finger"
	case finding.Late, finding.Early:
		return string(f.Kind) + m.onBeat(f)
	case finding.Missing:
		if f.Notes > 1 {
			return fmt.Sprintf("missing: %d notes from beat %s on", f.Notes, beat(f.Beat))
		}
		return "missing" + m.onBeat(f)
	case finding.HeldShort:
		return "held short" + m.onBeat(f)
	case finding.HeldLong:
		return "held long" + m.onBeat(f)
	case finding.WrongNote:
		return "wrong note" + m.insteadOf(f)
	case finding.Extra:
		return "extra note" + m.extra(f, h)
	case finding.Restarted:
		return "stopped and went back to measure " + f.Measure
	case finding.Tempo:
		return "tempo: " + tempo(f, h)
	case finding.Tuning:
		return "tuning: " + tuned(f, h)
	case finding.WrongRhythm:
		return "other rhythm: " + m.bare(f)
	}
	return "not sure: " + m.bare(f)
}

// bare is a finding's sentence without the words that a row says already.
func (m *music) bare(f *finding.Finding) string {
	s := strings.TrimSuffix(clean(f.Text), ".")
	for _, opening := range []string{"Perhaps: ", "Not sure of this take: ", "in measure " + f.Measure + ", ", "in measure " + f.Measure + " "} {
		if len(s) >= len(opening) && strings.EqualFold(s[:len(opening)], opening) {
			s = s[len(opening):]
		}
	}
	return s
}

func tempo(f *finding.Finding, h *finding.Hearing) string {
	switch off := f.Value - h.TempoAsked; {
	case h.TempoAsked <= 0 || math.Abs(off) <= f.Tolerance:
		return "not steady"
	case off < 0:
		return "slower than asked for"
	}
	return "faster than asked for"
}

// tuned tells the whole instrument, whose tuning is the reference heard, from
// one string of it.
func tuned(f *finding.Finding, h *finding.Hearing) string {
	if h.HeardA > 0 && h.ReferenceA > 0 && math.Abs(1200*math.Log2(h.HeardA/h.ReferenceA)-f.Value) < 1 {
		return "the whole bass"
	}
	return "one string against the others"
}

// landing names where a shift went.
func (m *music) landing(f *finding.Finding, h *finding.Hearing, o Options) string {
	n := written(h, f)
	if n == nil || n.Position == "" || n.Position == "0" {
		return ""
	}
	s := ": to " + position(n.Position)
	if name := o.stringName(n.String); name != "" {
		s += ", " + name + " string"
	}
	return s
}

func (m *music) onBeat(f *finding.Finding) string {
	if n := m.of(f); n != nil {
		return ": " + m.name(n) + " on beat " + beat(f.Beat)
	}
	return ": beat " + beat(f.Beat)
}

func (m *music) insteadOf(f *finding.Finding) string {
	n := m.of(f)
	if n == nil {
		return m.onBeat(f)
	}
	heard := m.pitchName(n.MIDI+int(math.Round(f.Value)), n.Measure)
	if int(math.Round(f.Value))%12 == 0 {
		return m.onBeat(f)
	}
	return ": " + heard + " for " + m.name(n) + " on beat " + beat(f.Beat)
}

func (m *music) extra(f *finding.Finding, h *finding.Hearing) string {
	for i := range h.Notes {
		n := &h.Notes[i]
		if n.State == finding.StateExtra && n.Measure == f.Measure && n.Pass == f.Pass && math.Abs(n.Beat-f.Beat) < 0.3 {
			if bar := m.bar(f.Measure, f.Pass); bar >= 0 {
				return ": " + m.pitchName(n.MIDI, m.bars[bar].Measure) + " about beat " + beat(f.Beat)
			}
		}
	}
	return ": about beat " + beat(f.Beat)
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
