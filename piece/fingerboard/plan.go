package fingerboard

import "slices"

// Plan is a line under the hand.
type Plan struct {
	Notes  []Fingered // one for each note of the line
	Shifts []Shift    // in order
	Others []Other    // other fingerings that lie close, in order of the notes where the hand then does not move

	// Outside names, one sentence for each pitch, the notes that no allowed
	// position reaches, and the smallest position to add.
	Outside []string
	// Contradictions names, one sentence each, the marks that cannot hold
	// together, and what was kept of them.
	Contradictions []string

	Cost float64 // what the way costs, in the unit of Costs

	many  string  // said in the place of many contradictions
	least float64 // of the cheapest way, equal measures fingered alike or not
}

// Remarks are the sentences that say what cannot be reached or obeyed; many notes that
// cannot be played as marked are told in one.
func (p *Plan) Remarks() []string {
	if p.many != "" {
		return append(slices.Clone(p.Outside), p.many)
	}
	return append(slices.Clone(p.Outside), p.Contradictions...)
}

// Fingered is one note under the hand.
type Fingered struct {
	String    int    // 1 is the highest; 0 for a note off the instrument
	Position  string // token; "0" for an open string; empty off the instrument
	Finger    string // "0" open, "1".."4", "T" the thumb; may be empty for a harmonic
	Semitones int    // above the open string; for a harmonic, of the node touched
	Hand      int    // where the hand begins, semitones above the open string; 0 unless stopped
	Open      bool
	Harmonic  bool
	Reach     bool // by a pivot or an extension: judged singly
	Marked    bool // the marks over this note leave no choice of string, position and finger
	Off       bool // not on the instrument, or beyond the positions allowed
	Frame     int  // the hand frame, from 0; -1 for open strings, harmonics and notes off the instrument
}

// Stopped reports whether a finger presses this note down.
func (f Fingered) Stopped() bool { return f.Frame >= 0 }

// Shift is a change of position between two successive stopped notes, whatever
// lies between. It stands on the note arrived at.
type Shift struct {
	Note      int    // index into the line: the note arrived at
	Before    int    // index into the line: the stopped note left
	From, To  string // position tokens
	String    int    // of the note arrived at
	Semitones int    // that the first finger travels; negative toward the scroll

	FingerFrom, FingerTo string
	CarriedBy            Carrier

	Frame    int // the frame opened
	LastNote int // index into the line: the last note of that frame

	// Marked: the teacher's marks put the hand in both places.
	Marked bool
	// Alternative: an open, lower or differently placed fingering without a
	// shift here costs hardly more, so this shift is only "if you shifted here".
	Alternative bool
}

// Carrier is what gives the hand time to move.
type Carrier string

// What carries a shift. ByNothing is a change of bow or pluck alone.
const (
	ByNothing  Carrier = ""
	ByRest     Carrier = "rest"
	ByOpen     Carrier = "open string"
	ByHarmonic Carrier = "harmonic"
	BySlur     Carrier = "slur"
)
