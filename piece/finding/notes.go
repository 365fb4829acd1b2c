package finding

import (
	"math"

	"endpin/dsp"
)

// notes lists the notes of the line as they were played, and the extra ones,
// in order.
func (t *take) notes() []Note {
	shifted := map[int]bool{}
	for _, s := range t.plan.Shifts {
		shifted[s.Note] = true
	}
	extras := t.extraNotes
	var out []Note
	for i := t.from; i <= t.to; i++ {
		m := t.match(i)
		n := t.written(i)
		n.AfterShift, n.Heard = shifted[i], m.Heard
		if m.Heard >= 0 {
			n.State, n.Trust = StatePlayed, m.Note.Trust
			if t.wrong[i] {
				n.State = StateWrong
			}
			n.Onset, n.Offset = plain(m.Note.Onset, 3), plain(m.Note.Offset, 3)
			if !m.Guessed {
				pitch := m.Note.Pitch
				if !math.IsNaN(t.cents[i]) {
					pitch = float64(t.line[i].MIDI+12*t.align.Octave) + (t.ideal(i)+t.cents[i])/100
				}
				heard := t.by + int(math.Round(pitch-t.tuned.A/100))
				if n.State == StatePlayed && math.Abs(t.off(i)) < anotherPitch {
					heard = n.MIDI + 12*t.align.Octave
				}
				n.HeardMIDI = &heard
				n.Cents, n.CentsSpread = plain(t.cents[i]+t.soundedHigher(i)-t.tuned.A, 1), plain(m.Note.Spread, 1)
			}
			late := t.lateness(i)
			if t.mayWait(i) {
				late -= 1000 * m.Step // the beat goes on from there
			}
			n.LateMS = plain(late, 0)
			n.Held = plain(t.heldShare(i), 2)
		}
		for len(extras) > 0 && n.Onset != nil && *extras[0].Onset < *n.Onset {
			out, extras = append(out, extras[0]), extras[1:]
		}
		out = append(out, n)
	}
	return append(out, extras...)
}

// earlier lists the notes of tries that were given up. Nothing is judged of them
// but their pitch, which is what was heard against what is written.
func (t *take) earlier() (tries [][]Note) {
	phrase := -1
	for _, x := range t.align.Earlier {
		if x.Line < t.from || x.Line > t.to {
			continue
		}
		h := &t.heard.Notes[x.Heard]
		n := t.written(x.Line)
		n.Onset, n.Offset, n.State, n.Trust, n.Heard = plain(h.Onset, 3), plain(h.Offset, 3), StatePlayed, h.Trust, x.Heard
		cents := 100*(h.Pitch-t.referredBy()-float64(t.line[x.Line].MIDI+12*t.align.Octave)) - t.ideal(x.Line) - t.tuned.A
		n.Cents, n.CentsSpread = plain(cents, 1), plain(h.Spread, 1)
		if math.Abs(cents) > anotherPitch {
			n.State = StateWrong
		}
		if x.Phrase != phrase {
			phrase, tries = x.Phrase, append(tries, nil)
		}
		tries[len(tries)-1] = append(tries[len(tries)-1], n)
	}
	return tries
}

// written is a note of the line of which nothing was heard.
func (ev *evidence) written(i int) Note {
	e, f := &ev.line[i], ev.plan.Notes[i]
	return Note{Measure: e.Number, Pass: e.Pass, Beat: round(e.Beat, 3), MIDI: e.MIDI + ev.by, String: f.String, Finger: f.Finger,
		Position: f.Position, State: StateMissing, Trust: dsp.NotSure, Line: i, Heard: -1}
}

// extraNote is a note heard that nobody wrote, after note before of the line.
func (t *take) extraNote(j, before int) Note {
	n, e := &t.heard.Notes[j], &t.line[before]
	pitch := n.Pitch - t.referredBy() - t.tuned.A/100 + float64(t.by)
	heard := int(math.Round(pitch))
	return Note{Measure: e.Number, Pass: e.Pass, Beat: t.beatOf(n.Onset, before), MIDI: heard, HeardMIDI: &heard,
		Onset: plain(n.Onset, 3), Offset: plain(n.Offset, 3), Cents: plain(100*(pitch-float64(heard)), 1),
		CentsSpread: plain(n.Spread, 1), Trust: n.Trust, State: StateExtra, Line: -1, Heard: j}
}

// plain gives a number for the JSON, nil where there is none.
func plain(x float64, digits int) *float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	v := round(x, digits)
	return &v
}
