package report

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"endpin/piece/finding"
)

// howMuch gives a finding's value with its unit; empty where the kind has none.
func (m *music) howMuch(f *finding.Finding, h *finding.Hearing) string {
	if math.IsNaN(f.Value) || math.IsInf(f.Value, 0) {
		return ""
	}
	switch f.Kind {
	case finding.SharpAfterShift, finding.FlatAfterShift, finding.Sharp, finding.Flat,
		finding.NarrowHand, finding.WideHand, finding.Tuning:
		return fmt.Sprintf("%+.0f cents", f.Value)
	case finding.Late, finding.Early:
		return fmt.Sprintf("%.0f ms", math.Abs(f.Value))
	case finding.HeldShort, finding.HeldLong:
		n := m.of(f)
		if n == nil {
			return short(f.Value) + " of its length"
		}
		beats := float64(n.Length) / float64(m.piece.Measures[n.Measure].Time.Beat())
		if f.Kind == finding.HeldLong {
			return beatsLong(f.Value*beats) + ", not " + beat(beats)
		}
		return beat(f.Value*beats) + " of " + beatsLong(beats)
	case finding.WrongRhythm:
		if f.Value == 0 {
			return ""
		}
		return beatsLong(math.Abs(f.Value)) + " off"
	case finding.WrongNote:
		return semitones(int(math.Round(f.Value)))
	case finding.Tempo:
		if f.Value == 0 {
			return ""
		}
		if h.TempoAsked > 0 {
			return fmt.Sprintf("♩ = %.0f, asked %.0f", f.Value, h.TempoAsked)
		}
		return fmt.Sprintf("♩ = %.0f", f.Value)
	}
	return ""
}

func semitones(n int) string {
	switch n {
	case 0:
		return ""
	case 12:
		return "an octave high"
	case -12:
		return "an octave low"
	case 1, -1:
		return fmt.Sprintf("%+d semitone", n)
	}
	return fmt.Sprintf("%+d semitones", n)
}

// short writes a number with one decimal where it has one.
func short(x float64) string { return strings.TrimSuffix(strconv.FormatFloat(x, 'f', 1, 64), ".0") }

func beat(x float64) string { return finding.Beats(x) }

// beatsLong is a length in beats: "½ beat", "2⅓ beats".
func beatsLong(x float64) string {
	if x > 1.02 {
		return beat(x) + " beats"
	}
	return beat(x) + " beat"
}

func counted(number, thing string) string {
	if number != "1" {
		thing += "s"
	}
	return number + " " + thing
}

// minutes writes seconds as m:ss.
func minutes(seconds float64) string {
	if math.IsNaN(seconds) || seconds < 0 || seconds > 1e7 {
		return "?"
	}
	s := int(math.Round(seconds))
	return fmt.Sprintf("%d:%02d", s/60, s%60)
}
