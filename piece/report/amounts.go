package report

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"endpin/piece/finding"
	"endpin/piece/words"
)

// howMuch gives a finding's value with its unit; empty where the kind has none.
func (m *music) howMuch(f *finding.Finding, h *finding.Hearing) string {
	if math.IsNaN(f.Value) || math.IsInf(f.Value, 0) {
		return ""
	}
	switch f.Kind.Row().Unit {
	case finding.Cents:
		return words.Say("report.amount.cents", "n", words.Signed(f.Value, 0))
	case finding.Milliseconds:
		return words.Say("report.amount.ms", "n", words.Whole(math.Abs(f.Value)))
	case finding.WrittenLengths:
		n := m.of(f)
		if n == nil {
			return words.Say("report.amount.length", "n", words.Short(f.Value))
		}
		beats := float64(n.Length) / float64(m.piece.Measures[n.Measure].Time.Beat())
		held, written := words.Beats(f.Value*beats), words.Beats(beats)
		if f.Kind == finding.HeldLong {
			return words.Say("report.amount.held-long", "held", held.Long(), "written", written)
		}
		return words.Say("report.amount.held-short", "held", held, "written", written.Long())
	case finding.BeatsOff:
		if f.Value == 0 {
			return ""
		}
		return words.Say("report.amount.beats-off", "beats", words.Beats(math.Abs(f.Value)).Long())
	case finding.Semitones:
		return semitones(int(math.Round(f.Value)))
	case finding.QuartersAMinute:
		if f.Value == 0 {
			return ""
		}
		if h.TempoAsked > 0 {
			return words.Say("report.amount.tempo.asked", "qpm", words.Whole(f.Value), "asked", words.Whole(h.TempoAsked))
		}
		return words.Say("report.amount.tempo", "qpm", words.Whole(f.Value))
	}
	return ""
}

func semitones(n int) string {
	switch n {
	case 0:
		return ""
	case 12:
		return words.Say("report.amount.octave-high")
	case -12:
		return words.Say("report.amount.octave-low")
	}
	return words.Many("report.amount.semitones", max(n, -n), "semitones", words.Signed(float64(n), 0)).String()
}

// short writes a number with one decimal where it has one.
func short(x float64) string { return strings.TrimSuffix(strconv.FormatFloat(x, 'f', 1, 64), ".0") }

func beat(x float64) string { return words.Beats(x).String() }

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
