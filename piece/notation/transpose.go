package notation

import (
	"errors"
	"strconv"

	"endpin/piece"
)

// transposition is what a file says about where its part sounds.
type transposition struct {
	stated    bool   // the file says it
	semitones int    // from the page to the sound
	by        string // on what evidence, as a sentence
}

// errNoNotes is for a part that has nothing to play.
var errNoNotes = errors.New("no notes in it: export the piece again, with its notes")

const (
	octave = 12
	lowest = 23 // B0, a five-string bass's lowest note: no four-string part is refused for it
	midiC4 = 60
)

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
			t.by = "No transposition in the file: its lowest notes would lie below the " + as.instrument + ", so it is taken as it sounds."
		default:
			t.semitones = as.semitones
			t.by = "No transposition in the file: taken as written for the " + as.instrument + ", " + inWords(t.semitones) + "."
		}
	}
	p.Transposed, p.TransposedBy = t.semitones, t.by
	for _, n := range line {
		if n.Rest {
			continue
		}
		n.MIDI = n.pitch + n.shift
		if !t.stated {
			n.MIDI += t.semitones
		}
		if n.MIDI < 0 || n.MIDI > 127 {
			return errors.New("a note lies beyond every instrument: look at the octaves and the transposition")
		}
	}
	return nil
}

// inWords says a transposition in words.
func inWords(semitones int) string {
	switch semitones {
	case 0:
		return "sounding as written"
	case -octave:
		return "sounding an octave lower"
	case -2 * octave:
		return "sounding two octaves lower"
	case octave:
		return "sounding an octave higher"
	}
	n, way := semitones, "higher"
	if n < 0 {
		n, way = -n, "lower"
	}
	if n == 1 {
		return "sounding a semitone " + way
	}
	return "sounding " + strconv.Itoa(n) + " semitones " + way
}
