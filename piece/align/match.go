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
	w.match(a)
	w.putExtras(a)
	a.shareRepeats(m, heard.Faint)
	a.keepBeat(m)
	if a.begunUnderRing(m) {
		a.keepBeat(m)
	}
	if a.recover(m, heard.Frames) {
		a.keepBeat(m)
	}
	return a
}

// match gives each note of the line what the way has for it.
func (w *way) match(a *Alignment) {
	heard := w.model.heard
	a.Matches = make([]Match, len(w.model.line))
	for i := range a.Matches {
		a.Matches[i] = Match{Heard: -1, Beat: math.NaN(), Rate: math.NaN()}
	}
	phrase, begun := 0, -1
	a.First, a.Last = len(a.Matches), 0
	for k, s := range w.steps {
		if s.jump {
			phrase++
			from, at := w.steps[k-1].i, heard[s.j].Onset
			if _, onward := w.model.goesOn(from, s.i); onward || s.i > from+1 {
				a.Skips = append(a.Skips, Skip{From: from, To: s.i, Onward: onward, At: at})
			} else if s.i <= begun {
				a.Restarts = append(a.Restarts, Restart{To: s.i, From: from, At: at})
			}
		}
		begun = max(begun, s.i)
		if old := a.Matches[s.i]; old.Heard >= 0 {
			a.Earlier = append(a.Earlier, Earlier{Line: s.i, Heard: old.Heard, Phrase: old.Phrase})
		}
		a.Matches[s.i] = Match{Heard: s.j, Note: heard[s.j], Phrase: phrase, Beat: math.NaN(), Rate: math.NaN()}
		a.First, a.Last = min(a.First, s.i), max(a.Last, s.i)
	}
}

// putExtras gives each note heard that the way passes over to the note it is a part
// of, or files it as belonging to none.
func (w *way) putExtras(a *Alignment) {
	m := w.model
	taken := make([]bool, len(m.heard))
	for _, s := range w.steps {
		taken[s.j] = true
	}
	owner := a.owners()
	for j := w.steps[0].j + 1; j < w.steps[len(w.steps)-1].j; j++ {
		if taken[j] {
			continue
		}
		before, ok := owner[j-1]
		switch n := m.heard[j]; {
		case ok && weakBeginning(m.heard[j-1], n):
			begin(&n, m.heard[j-1])
			a.Matches[before].Note = n
			owner[j] = before
		case ok && m.ringsOn(j): // it was let go before
			owner[j] = before
		case ok && cutInTwo(m.heard[j-1], n) && !m.ringMasked(j):
			a.Matches[before].Note.Offset = n.Offset
			owner[j] = before
		default:
			if after, ok := owner[j+1]; ok && m.scoopOf(j, j+1) {
				begin(&a.Matches[after].Note, n) // it began there, and found its pitch later
			} else {
				a.Extras = append(a.Extras, j)
			}
		}
	}
}

// owners tells of the notes heard which note of the line each is.
func (a *Alignment) owners() map[int]int {
	owner := make(map[int]int)
	for i, mt := range a.Matches {
		if mt.Heard >= 0 && !mt.Guessed {
			owner[mt.Heard] = i
		}
	}
	return owner
}

// begin gives a note the beginning of another.
func begin(n *dsp.Note, other dsp.Note) {
	n.Onset, n.Kind, n.Strength, n.Fresh = other.Onset, other.Kind, other.Strength, other.Fresh
}

// Set by ear; no source.
const (
	cutGap      = 0.06 // s between the halves of a note
	cutWithin   = 0.6  // semitones that they lie apart
	cutStrength = 2.2  // of an onset that may be none
	cutShort    = 0.1  // s: what is shorter is a half of whatever pitch

	sharedLength = 0.3  // of a note's length that must sound on for it to be there
	sharedFaint  = 0.15 // s from where it is due that a faint sign of an onset is its own
	leastBeat    = 0.01 // quarters between two notes, so that nothing is divided by less
)

// cutInTwo tells whether the second of two notes heard is the first going on,
// cut by a sign of an onset too weak to stand for a new stroke.
func cutInTwo(a, b dsp.Note) bool {
	return b.Onset-a.Offset < cutGap && math.Abs(a.Pitch-b.Pitch) < cutWithin && (b.Strength < cutStrength || b.Trust == dsp.NotSure) ||
		b.Offset-b.Onset < cutShort && b.Strength < cutStrength
}

// shareRepeats looks at notes not heard that repeat the pitch of the one before,
// where that one sounds on long enough for both: a change of bow on one pitch
// can be too smooth to hear, and no one is told that it is missing.
func (a *Alignment) shareRepeats(m *model, faint []dsp.Onset) {
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
		beats := math.Max(leastBeat, (m.line[i].Onset - m.line[i-1].Onset).Quarters())
		if end < at+sharedLength*m.line[i].Length.Quarters()*(m.clock[i]-m.clock[i-1])/beats*a.Pace {
			continue // it fell silent: there was no second note
		}
		guessed := true
		for _, f := range faint {
			if math.Abs(f.Time-at) < sharedFaint && (guessed || math.Abs(f.Time-at) < math.Abs(mt.Note.Onset-at)) {
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
