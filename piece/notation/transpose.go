package notation

import (
	"endpin/piece"
	"endpin/piece/words"
)

// transposition is what a file says about where its part sounds.
type transposition struct {
	stated    bool   // the file says it
	semitones int    // from the page to the sound
	by        string // on what evidence, as a sentence
}

// errNoNotes is for a part that has nothing to play.
var errNoNotes = words.Fault("notation.no-notes")

// lowest is B0, a five-string bass's lowest note: no four-string part is refused for it.
const lowest = 23

// sound settles the sounding pitch of every note. Where the file says nothing,
// the part is read as its player reads a page (a bass player: sounding an octave
// lower than written); unless a note would then lie below the instrument, in which case the
// file was written as it sounds.
func (d *draft) sound(p *piece.Piece, line []*draftNote, as supposed) error {
	t := d.written
	low, any := 0, false
	for _, n := range line {
		if !n.Rest && !n.Grace {
			if !any || n.pitch < low {
				low = n.pitch
			}
			any = true
		}
	}
	if !any {
		return errNoNotes
	}
	if !t.stated {
		switch {
		case low+as.semitones < as.lowest && as.semitones < 0:
			t.by = words.Say("notation.supposed.low", "instrument", as.instrument)
		default:
			t.semitones = as.semitones
			t.by = words.Say("notation.supposed", "instrument", as.instrument, "sounding", sounding(t.semitones))
		}
	}
	p.Transposed, p.TransposedBy, p.Supposed = t.semitones, t.by, !t.stated
	for _, n := range line {
		if n.Rest {
			continue
		}
		n.MIDI = n.pitch + n.shift
		if !t.stated {
			n.MIDI += t.semitones
		}
		if n.MIDI < 0 || n.MIDI > 127 {
			return words.Fault("notation.beyond")
		}
	}
	return nil
}

// sounding says a transposition in words: "sounding an octave lower".
func sounding(semitones int) words.Sentence {
	switch {
	case semitones == 0:
		return words.Of("notation.sounding.as-written")
	case semitones == -piece.Octave:
		return words.Of("notation.sounding.octave-lower")
	case semitones == -2*piece.Octave:
		return words.Of("notation.sounding.two-octaves-lower")
	case semitones == piece.Octave:
		return words.Of("notation.sounding.octave-higher")
	case semitones < 0:
		return words.Many("notation.sounding.lower", -semitones)
	}
	return words.Many("notation.sounding.higher", semitones)
}
