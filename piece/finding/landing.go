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
const Listening = 14

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

	// Cents is where the hand came down, against the player's own reference: where the notes
	// of its frame lie, as what is told of a hand that lay off says; and where its first note
	// was put right within itself, the first steady 100 ms of that, less what notes of that
	// pitch set in beside where they stay. SettleMS is how long its pitch moved from its onset
	// on before it stayed; null where the onset was not heard by itself.
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
	nearPitch   = 1    // semitones within which an instrument speaks alike
)

// landed is where a hand came down after a shift, cents from the player's own reference, and
// whether its first note was put right within itself.
func (t *take) landed(h *hand) (cents float64, corrected bool) {
	i := h.all[0]
	n := &t.match(i).Note
	habit, known := t.attack.habit(i)
	in := t.attack.off[i] - habit
	if t.offFrames[h.frame] || !known || t.plucked || n.Settle < leastSettle || math.Abs(in) <= setsIn*t.attack.scatter {
		return h.at, false
	}
	return t.off(i) + in, true
}

// attack is how far notes begin off where they settle by the habit of the instrument and the
// bow: a string speaks at one pitch otherwise than at another. A landing must be off by more.
type attack struct {
	pitch   []int           // of the line
	off     map[int]float64 // by note of the line, cents
	scatter float64         // of them about those near them in pitch, cents
}

func (ev *evidence) attacks() attack {
	a := attack{off: map[int]float64{}}
	for i := range ev.line {
		a.pitch = append(a.pitch, ev.line[i].MIDI)
		if n := &ev.match(i).Note; ev.pitched(i) {
			a.off[i] = 100 * (n.Landing - n.Pitch)
		}
	}
	var about []float64
	for i := range ev.line {
		if habit, known := a.habit(i); known {
			about = append(about, a.off[i]-habit)
		}
	}
	if len(about) > 0 {
		a.scatter = robust.SpreadAbout(about, 0)
	}
	return a
}

// habit is how far the other notes of a note's pitch begin off, cents, or where there are
// none those a semitone from it; not known where there are none of them either.
func (a *attack) habit(i int) (cents float64, known bool) {
	if _, heard := a.off[i]; !heard {
		return 0, false
	}
	for apart := 0; apart <= nearPitch && !known; apart++ {
		var near []float64
		for k := range a.pitch {
			if off, heard := a.off[k]; heard && k != i && max(a.pitch[k]-a.pitch[i], a.pitch[i]-a.pitch[k]) == apart {
				near = append(near, off)
			}
		}
		cents, known = robust.Median(near), len(near) > 0
	}
	return cents, known
}

// landings lists the shifts heard, in order. What is measured is what landings
// put right are told from.
func (t *take) landings() []Landing {
	out := []Landing{}
	hands := map[int]*hand{}
	for _, h := range t.hands {
		hands[h.frame] = h
	}
	for k := range t.plan.Shifts {
		s := &t.plan.Shifts[k]
		i := s.Note
		if i < t.from || i > t.to || s.Before < t.align.First || !t.usable(i) || t.match(i).Guessed {
			continue
		}
		m, e := t.match(i), &t.line[i]
		landed, _ := t.landed(hands[s.Frame])
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
