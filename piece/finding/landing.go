package finding

import (
	"math"

	"endpin/dsp"
	"endpin/dsp/robust"
	"endpin/piece/fingerboard"
)

// Listening is the version of all that hears and judges, from samples to
// findings. Raise it whenever a change can make the same sound read otherwise:
// what is kept over months compares only judgements of one version.
const Listening = 7

// Landing is one shift that was heard: where the hand came down. A shift whose
// note was not heard, was another note, or whose pitch is not to be believed
// makes none.
type Landing struct {
	Measure   string              `json:"measure"`
	Pass      int                 `json:"pass"`
	Beat      float64             `json:"beat"`
	String    int                 `json:"string"` // 1 is the highest
	From      string              `json:"from"`   // position tokens
	To        string              `json:"to"`
	Semitones int                 `json:"semitones"` // that the first finger travels; negative toward the scroll
	CarriedBy fingerboard.Carrier `json:"carried_by"`

	// Cents is where the hand came down, against the player's own reference: where the
	// note stays, and where it was put right within itself, its first steady 100 ms, less
	// what all notes of the take set in beside where they stay. SettleMS is how long its
	// pitch moved from its onset on before it stayed; null where the onset was not heard
	// by itself.
	Cents    float64   `json:"cents"`
	SettleMS *float64  `json:"settle_ms"`
	QPM      float64   `json:"tempo_qpm"` // the player's tempo hereabouts, quarter notes a minute
	Plucked  bool      `json:"plucked"`
	Marked   bool      `json:"marked"`      // the marks put the hand in both places
	Other    bool      `json:"alternative"` // a fingering without this shift costs hardly more
	Trust    dsp.Trust `json:"trust"`
	At       float64   `json:"at_s"`

	Line int `json:"-"` // index in the line of the note arrived at
}

// When a note was put right within itself. Set by ear, no source.
const (
	leastSettle = 0.15 // s that it takes: less is a glide
	setsIn      = 3.0  // times the scatter of how notes set in
)

// landed is where the hand came down on a note, cents from the player's own reference,
// and whether the note was put right within itself.
func (t *take) landed(i int) (cents float64, corrected bool) {
	n := &t.match(i).Note
	in := 100*(n.Landing-n.Pitch) - t.attack.habit
	if t.plucked || n.Settle < leastSettle || math.Abs(in) <= setsIn*t.attack.scatter {
		return t.off(i), false
	}
	return t.off(i) + in, true
}

// attack is how far notes begin off where they settle by habit of the instrument and
// the bow, cents, and how far that scatters: a landing must be off by more.
type attack struct{ habit, scatter float64 }

func (ev *evidence) attacks() attack {
	var off []float64
	for i := range ev.line {
		if n := &ev.match(i).Note; ev.pitched(i) {
			off = append(off, 100*(n.Landing-n.Pitch))
		}
	}
	if len(off) == 0 {
		return attack{}
	}
	habit := robust.Median(off)
	return attack{habit, robust.SpreadAbout(off, habit)}
}

// landings lists the shifts heard, in order. What is measured is what landings
// put right are told from.
func (t *take) landings() []Landing {
	out := []Landing{}
	for k := range t.plan.Shifts {
		s := &t.plan.Shifts[k]
		i := s.Note
		if i < t.from || i > t.to || s.Before < t.align.First || !t.usable(i) || t.match(i).Guessed {
			continue
		}
		m, e := t.match(i), &t.line[i]
		landed, _ := t.landed(i)
		l := Landing{
			Measure: e.Number, Pass: e.Pass, Beat: round(e.Beat, 3), String: s.String, From: s.From, To: s.To,
			Semitones: s.Semitones, CarriedBy: s.CarriedBy,
			Cents: round(landed, 1), QPM: round(t.tempoAt(i), 1),
			Plucked: t.struck[i], Marked: s.Marked, Other: s.Alternative, Trust: m.Note.Trust,
			At: round(m.Note.Onset, 3), Line: i,
		}
		if t.doubtful {
			l.Trust = dsp.NotSure
		}
		if !m.Recovered {
			l.SettleMS = plain(1000*m.Note.Settle, 0)
		}
		out = append(out, l)
	}
	return out
}
