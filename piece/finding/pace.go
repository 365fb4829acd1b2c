package finding

import (
	"math"

	"endpin/dsp/robust"
)

// When a pace is told. Set by ear, no source.
const (
	driftMore  = 1.5 // times the tolerance that the pace may change from one end of a take to the other
	tempoLeast = 4   // notes that tell a tempo at all: of three, one late makes another tempo
	tempoSure  = 8   // and surely
	driftNotes = 12  // notes that a drift must be seen over
)

// tempo tells of a pace other than the one asked for, or one that drifts.
func (t *take) tempo() {
	qpm := t.supposed / t.align.Pace
	drift, ok := t.drift()
	drifts := ok && math.Abs(drift) > driftMore*t.level.Tempo/100
	differs := t.asked > 0 && math.Abs(qpm/t.asked-1) > t.level.Tempo/100
	notes := len(t.aperiodicities) // heard by themselves
	if !drifts && !differs || notes < tempoLeast {
		return
	}
	t.whole(Finding{Kind: Tempo, Value: qpm, Trust: sureUnless(notes < tempoSure), Tolerance: round(t.level.Tempo/100*t.asked, 1), Notes: notes,
		Said: t.tempoText(qpm, drift, drifts)})
}

// drift is by what share the pace grows from the first note to the last
// (positive: faster), from the slopes of the take's two halves.
func (ev *evidence) drift() (share float64, ok bool) {
	var x, y []float64
	phrase := ev.match(ev.align.Last).Phrase
	for i := ev.align.First; i <= ev.align.Last; i++ {
		if m := ev.match(i); m.Heard >= 0 && !m.Guessed && m.Phrase == phrase && !math.IsNaN(m.Rate) {
			if m.Step != 0 {
				x, y = nil, nil // only what runs on in one beat
			}
			x, y = append(x, ev.clock[i]), append(y, m.Note.Onset)
		}
	}
	if len(x) < driftNotes {
		return 0, false
	}
	h := len(x) / 2
	a, b := robust.Slope(x[:h], y[:h]), robust.Slope(x[h:], y[h:])
	if math.IsNaN(a) || math.IsNaN(b) {
		return 0, false
	}
	return 2 * (a/b - 1), true
}
