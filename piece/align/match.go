package align

import (
	"math"

	"endpin/dsp"
)

// alignment turns a way into matches: of a note played twice the last time
// counts, halves of a split note are joined, and a note swallowed by the one
// before it of the same pitch is given back its share.
func (w *way) alignment(heard *dsp.Heard) *Alignment {
	m := w.model
	a := &Alignment{Octave: int(m.octave) / 12, Pace: w.pace(), Fit: w.fit()}
	a.Matches = make([]Match, len(m.line))
	for i := range a.Matches {
		a.Matches[i] = Match{Heard: -1, Beat: math.NaN(), Rate: math.NaN()}
	}
	phrase, begun := 0, -1
	taken := make([]bool, len(m.heard))
	for k, s := range w.steps {
		if s.jump {
			phrase++
			if s.i <= begun {
				a.Restarts = append(a.Restarts, Restart{To: s.i, From: w.steps[k-1].i, At: m.heard[s.j].Onset})
			}
		}
		begun = max(begun, s.i)
		taken[s.j] = true
		if old := a.Matches[s.i]; old.Heard >= 0 {
			a.Earlier = append(a.Earlier, Earlier{Line: s.i, Heard: old.Heard, Phrase: old.Phrase})
		}
		a.Matches[s.i] = Match{Heard: s.j, Note: m.heard[s.j], Phrase: phrase, Beat: math.NaN(), Rate: math.NaN()}
	}
	first, last := w.steps[0], w.steps[len(w.steps)-1]
	a.First, a.Last = len(m.line), 0
	for i := range a.Matches {
		if a.Matches[i].Heard >= 0 {
			a.First, a.Last = min(a.First, i), max(a.Last, i)
		}
	}
	owner := make(map[int]int) // note heard -> note of the line
	for i, mt := range a.Matches {
		if mt.Heard >= 0 {
			owner[mt.Heard] = i
		}
	}
	for j := first.j + 1; j < last.j; j++ {
		if taken[j] {
			continue
		}
		if i, ok := owner[j-1]; ok && findsItself(m.heard[j-1], m.heard[j]) {
			n := m.heard[j]
			n.Onset, n.Kind, n.Strength, n.Fresh = m.heard[j-1].Onset, m.heard[j-1].Kind, m.heard[j-1].Strength, m.heard[j-1].Fresh
			a.Matches[i].Note = n
			owner[j] = i
			continue
		}
		if i, ok := owner[j-1]; ok && m.tail(j) {
			owner[j] = i // it was let go before
			continue
		}
		if i, ok := owner[j-1]; ok && splits(m.heard[j-1], m.heard[j]) && !m.underRing(j) {
			a.Matches[i].Note.Offset = m.heard[j].Offset
			owner[j] = i
			continue
		}
		if i, ok := owner[j+1]; ok && m.bitOf(j, j+1) {
			a.Matches[i].Note.Onset = m.heard[j].Onset // it began there, and found its pitch later
			a.Matches[i].Note.Kind, a.Matches[i].Note.Strength, a.Matches[i].Note.Fresh = m.heard[j].Kind, m.heard[j].Strength, m.heard[j].Fresh
			continue
		}
		a.Extras = append(a.Extras, j)
	}
	a.shares(m, heard.Faint)
	a.keepBeat(m.clock)
	if a.begunUnderRing(m) {
		a.keepBeat(m.clock)
	}
	if a.recover(m, heard.Frames) {
		a.keepBeat(m.clock)
	}
	return a
}

// splits tells whether the second of two notes heard is the first going on,
// cut by a sign of an onset too weak to stand for a new stroke.
func splits(a, b dsp.Note) bool {
	return b.Onset-a.Offset < 0.06 && math.Abs(a.Pitch-b.Pitch) < 0.6 && (b.Strength < 2.2 || b.Trust == dsp.NotSure) ||
		b.Offset-b.Onset < 0.1 && b.Strength < 2.2
}

// shares looks at notes not heard that repeat the pitch of the one before,
// where that one sounds on long enough for both: a change of bow on one pitch
// can be too smooth to hear, and no one is told that it is missing.
func (a *Alignment) shares(m *model, faint []dsp.Onset) {
	for i := a.First + 1; i <= min(a.Last+1, len(m.line)-1); i++ {
		mt, prev := &a.Matches[i], &a.Matches[i-1]
		if mt.Heard >= 0 || prev.Heard < 0 || m.line[i].MIDI != m.line[i-1].MIDI {
			continue
		}
		at := prev.Note.Onset + (m.clock[i]-m.clock[i-1])*a.Pace
		if next := i + 1; next <= a.Last && a.Matches[next].Heard >= 0 && a.Matches[next].Phrase == prev.Phrase {
			span := m.clock[next] - m.clock[i-1]
			at = prev.Note.Onset + (a.Matches[next].Note.Onset-prev.Note.Onset)*(m.clock[i]-m.clock[i-1])/span
		}
		end := prev.Note.Offset
		if end < at+0.3*m.line[i].Length.Quarters()*(m.clock[i]-m.clock[i-1])/math.Max(0.01, (m.line[i].Onset-m.line[i-1].Onset).Quarters())*a.Pace {
			continue // it fell silent: there was no second note
		}
		guessed := true
		for _, f := range faint {
			if math.Abs(f.Time-at) < 0.15 && (guessed || math.Abs(f.Time-at) < math.Abs(mt.Note.Onset-at)) {
				mt.Note.Onset, guessed = f.Time, false
			}
		}
		if guessed {
			mt.Note.Onset = at
		}
		onset := mt.Note.Onset
		mt.Heard, mt.Phrase, mt.Guessed = prev.Heard, prev.Phrase, true
		mt.Note = prev.Note
		mt.Note.Onset, mt.Note.SteadyFrom = onset, onset
		mt.Note.Trust = dsp.NotSure
		prev.Note.Offset = onset
		a.Last = max(a.Last, i)
	}
}
