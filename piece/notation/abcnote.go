package notation

import (
	"strconv"

	"endpin/piece"
	"endpin/piece/words"
)

// maxABCNotes bounds the notes of a file, over all its voices.
const maxABCNotes = piece.MaxNotes

// put places a note or a chord with what waits for it.
func (r *abcReader) put(notes []draftNote, units float64) error {
	v := r.current()
	if r.notes += len(notes); r.notes > maxABCNotes {
		return atLine(r.line, words.Fault("notation.too-many-notes", "most", maxABCNotes))
	}
	if v.pendingEnd != nil {
		endMeasureWith(v.m, *v.pendingEnd)
		v.pendingEnd = nil
	}
	if !notes[0].Rest {
		v.tied = nil
		v.sounds = true
		v.applyWaiting(&notes[0])
		for _, id := range v.opening {
			notes[0].slurs = append(notes[0].slurs, slurEnd{id, true})
		}
		v.opening = nil
	}
	notes[0].apart, v.gap = v.gap, false
	v.place(notes, units*v.unitTicks())
	if v.pos > maxTicks {
		return atLine(r.line, words.Fault("notation.abc.long"))
	}
	return nil
}

// chord reads [CEG]2.
func (r *abcReader) chord(l *abcLine) error {
	v := r.current()
	l.i++
	var notes []draftNote
	tied := map[int]bool{}
	units := 0.0
	for l.at(0) != ']' {
		switch c := l.at(0); {
		case c == 0:
			return atLine(r.line, words.Fault("notation.abc.chord"))
		case c == '^' || c == '_' || c == '=' || isNote(c):
			n, err := r.pitch(l)
			if err != nil {
				return err
			}
			length, err := r.length(l)
			if err != nil {
				return err
			}
			if len(notes) == 0 {
				units = length
			}
			notes = append(notes, n)
			if len(notes) > 16 {
				return atLine(r.line, words.Fault("notation.abc.chord-long"))
			}
		case c == '-':
			l.i++
			if len(notes) > 0 {
				tied[len(notes)-1] = true
			}
		case c == '!':
			l.i++
			if name, ok := l.until('!'); ok {
				v.decorate(name)
			}
		case c == '"':
			l.i++
			if words, ok := l.until('"'); ok {
				v.annotation(words)
			}
		default:
			l.i++
		}
	}
	l.i++
	outer, err := r.length(l)
	if err != nil {
		return err
	}
	if len(notes) == 0 {
		return nil
	}
	if err := r.put(notes, units*outer); err != nil {
		return err
	}
	for i := range tied {
		v.tieNote(v.lastFrom + i)
	}
	return nil
}

// graces reads {abc}: notes that lead into the next.
func (r *abcReader) graces(l *abcLine) error {
	v := r.current()
	l.i++
	for l.at(0) != '}' {
		switch c := l.at(0); {
		case c == 0:
			return atLine(r.line, words.Fault("notation.abc.grace"))
		case c == '^' || c == '_' || c == '=' || isNote(c):
			n, err := r.pitch(l)
			if err != nil {
				return err
			}
			if _, err := r.length(l); err != nil {
				return err
			}
			if r.notes++; r.notes > maxABCNotes {
				return atLine(r.line, words.Fault("notation.too-many-notes", "most", maxABCNotes))
			}
			n.Grace, n.Start = true, ticks(v.pos)
			if v.overlay > 0 {
				n.voice = strconv.Itoa(v.overlay + 1)
			}
			v.m.notes = append(v.m.notes, n)
		default:
			l.i++
		}
	}
	l.i++
	return nil
}

func (r *abcReader) rest(l *abcLine) error {
	units, err := r.length(l)
	if err != nil {
		return err
	}
	n := draftNote{voice: "1", staff: 1}
	n.Rest = true
	return r.put([]draftNote{n}, units)
}

// beginTuplet reads (p:q:r: p notes in the time of q, for the next r notes
// (ABC 2.1, 4.13).
func (r *abcReader) beginTuplet(l *abcLine) error {
	v := r.current()
	l.i++
	number := func() int {
		n, err := strconv.Atoi(l.while(digits))
		if err != nil || n > 64 {
			return 0
		}
		return n
	}
	p := number()
	q, run := 0, 0
	if l.at(0) == ':' {
		l.i++
		q = number()
		if l.at(0) == ':' {
			l.i++
			run = number()
		}
	}
	if p < 2 {
		return atLine(r.line, words.Fault("notation.abc.tuplet", "n", p))
	}
	if q == 0 {
		q = v.tupletTime(p)
	}
	if run == 0 {
		run = p
	}
	v.tuplet, v.tupletLeft = piece.Tuplet{Actual: p, Normal: q}, run
	return nil
}

func (v *abcVoice) tupletTime(p int) int {
	switch p {
	case 2, 4, 8:
		return 3
	case 3, 6:
		return 2
	}
	if t := v.time; t.Unit == 8 && t.Beats%3 == 0 && t.Beats > 3 {
		return 3
	}
	return 2
}

func (v *abcVoice) openSlur() {
	const most = 16 // one inside another
	if len(v.open) == most || len(v.opening) == most {
		return
	}
	v.slurs++
	id := strconv.Itoa(v.slurs)
	v.opening = append(v.opening, id)
	v.open = append(v.open, id)
}

func (v *abcVoice) closeSlur() {
	if len(v.open) == 0 {
		return
	}
	id := v.open[len(v.open)-1]
	v.open = v.open[:len(v.open)-1]
	if n := v.lastNote(); n != nil {
		n.slurs = append(n.slurs, slurEnd{id, false})
	}
}

// lastNote is the last note written that is no grace note.
func (v *abcVoice) lastNote() *draftNote {
	if v.noteIn == nil {
		return nil
	}
	return &v.noteIn.notes[v.noteAt]
}

// tie ties the last note, or every note of the last chord, to the next.
func (v *abcVoice) tie() {
	if v.lastFrom == noLast {
		return
	}
	for i := v.lastFrom; i < len(v.m.notes); i++ {
		v.tieNote(i)
	}
}

func (v *abcVoice) tieNote(i int) {
	n := &v.m.notes[i]
	if n.Rest || n.Grace {
		return
	}
	n.TieToNext = true
	if v.tied == nil {
		v.tied = map[string]int{}
	}
	v.tied[n.Step+strconv.Itoa(n.Octave)] = n.Alter
}
