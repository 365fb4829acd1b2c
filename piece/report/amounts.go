package report

import (
	"math"

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
		if f.Kind == finding.Uneven { // it goes either way
			return words.Say("report.amount.cents", "n", words.Whole(f.Value))
		}
		return words.Say("report.amount.cents", "n", m.signed(f.Value))
	case finding.Milliseconds:
		return words.Say("report.amount.ms", "n", words.Whole(math.Abs(f.Value)))
	case finding.WrittenLengths:
		n := m.of(f)
		switch {
		case h.Throughout(f):
			return words.Say("report.amount.lengths", "share", words.Whole(100*f.Value))
		case n == nil:
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
		return m.semitones(int(math.Round(f.Value)))
	case finding.PaceShare:
		return words.Say("report.amount.pace", "share", words.Whole(100*f.Value))
	case finding.Seconds:
		return words.Say("report.amount.seconds", "n", words.Fixed(f.Value, 1))
	case finding.QuartersAMinute:
		switch {
		case f.Value == 0:
			return ""
		case f.FromQPM > 0:
			return words.Say("report.amount.tempo.drifts", "from", words.Whole(f.FromQPM), "to", words.Whole(f.ToQPM))
		case h.TempoAsked > 0:
			return words.Say("report.amount.tempo.asked", "qpm", words.Whole(f.Value), "asked", words.Whole(h.TempoAsked))
		}
		return words.Say("report.amount.tempo", "qpm", words.Whole(f.Value))
	}
	return ""
}

// semitones says how far off another note was.
func (m *music) semitones(n int) string {
	switch n {
	case 0:
		return ""
	case 12:
		return words.Say("report.amount.octave-high")
	case -12:
		return words.Say("report.amount.octave-low")
	}
	return words.Many("report.amount.semitones", max(n, -n), "semitones", m.signed(float64(n))).String()
}

// signed writes a number with its sign: paper has a true minus, a terminal a hyphen.
func (m *music) signed(x float64) words.Number {
	if m.paper {
		return words.Shown(x, 0)
	}
	return words.Signed(x, 0)
}
