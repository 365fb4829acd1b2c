package piece

import "slices"

// Ticks measures written time. It is exact for every note value down to
// sixty-fourths, dotted twice, and for tuplets of 3, 5, 6, 7 and 9.
type Ticks int64

// Quarter is the length of a quarter note.
const Quarter Ticks = 10080 // 2^5 · 3^2 · 5 · 7

// Quarters gives the length in quarter notes.
func (t Ticks) Quarters() float64 { return float64(t) / float64(Quarter) }

// Piece is one part of a piece of music, as it is printed.
type Piece struct {
	Title    string
	Composer string
	Part     string // the part's name; empty where the file gives none
	Measures []Measure

	// Taken says which of the file's parts this is, and which fit as well, as a sentence
	// for the user; empty where the file holds one.
	Taken string

	// Parts are those of the file that have notes, in its order.
	Parts []Part

	// Transposed is how far the part sounds from where it is written, in
	// semitones (a bass part: -12), and TransposedBy says on what evidence,
	// as a sentence for the user ("written for the double bass by the ottava clef").
	Transposed   int
	TransposedBy string
	// Supposed: the file does not say it, so that the part is read as the instrument's
	// player reads a page.
	Supposed bool

	// School is the school of fingering that the piece remembers, as package
	// fingerboard keeps one; empty for none.
	School string

	// NotPlayed names, one sentence each with its measure, what the file holds
	// and Endpin does not play: chords, second voices, percussion.
	NotPlayed []string
}

// Part is one part of a file, as a player chooses among them.
type Part struct {
	Number int    // in the file, from 1
	Name   string // as it stands there, or a word for it where it has none
	For    string // the family of instruments that it names ("cello"); "" where that is not clear
	Fits   bool   // it is one for the instrument that the piece was read for
	Taken  bool   // it is the one that was read
}

// WrittenFor is the family of instruments that the part names; "" where that is not clear.
func (p *Piece) WrittenFor() string {
	for _, part := range p.Parts {
		if part.Taken {
			return part.For
		}
	}
	return ""
}

// Measure is one printed measure.
type Measure struct {
	Number   string // as printed: a token, "0" for a pickup, "12a"
	Implicit bool   // prints no number of its own: a pickup, a split measure
	Length   Ticks  // what it holds; a pickup holds less than Time asks
	Time     Time
	Key      Key
	Clef     Clef
	Notes    []Note // notes and rests in order of Start, one voice
	Tempos   []Tempo
	Flows    []Flow
	Texts    []Text // words over the staff that no other field tells, in order of At

	RepeatStart bool
	RepeatTimes int    // a repeat sign ends the measure: times played in all (usually 2); 0 for none
	Endings     []int  // the passes this measure is played in; empty for all
	Segno       bool   // the sign stands at the start
	Coda        bool   // the coda sign stands at the start
	ToCoda      bool   // at the end, on the pass after a jump: go to the coda
	Fine        bool   // at the end, on the pass after a jump: stop
	Jump        Jump   // at the end
	Rehearsal   string // rehearsal mark, empty for none
	DoubleBar   bool   // a light-light or light-heavy line ends it
	SystemBreak bool   // the file begins a new line of music here
}

// Copied is a copy whose notes can be marked without the piece's being changed.
func (p *Piece) Copied() *Piece {
	q := *p
	q.Measures = slices.Clone(p.Measures)
	for i := range q.Measures {
		q.Measures[i].Notes = slices.Clone(q.Measures[i].Notes)
	}
	return &q
}

// Jump is an instruction at the end of a measure to go back.
type Jump string

// The jumps.
const (
	NoJump   Jump = ""
	DaCapo   Jump = "da capo"
	DalSegno Jump = "dal segno"
)

// Time is a time signature. The zero value means none (senza misura).
type Time struct{ Beats, Unit int } // 6/8 is {6, 8}

// Beat is the length of one beat: the note value under the fraction line
// (6/8 counts six). Without a time signature it is a quarter note.
func (t Time) Beat() Ticks {
	if t.Unit == 0 {
		return Quarter
	}
	return 4 * Quarter / Ticks(t.Unit)
}

// Counted is the length that one counts in: a quarter in three-four, a dotted one in six-eight.
func (t Time) Counted() Ticks {
	if t.Unit == 8 && t.Beats%3 == 0 {
		return 3 * Quarter / 2
	}
	return t.Beat()
}

// Clef is where a measure's notes are printed. Octave is -1 for an ottava
// bassa clef; it is display only and already counted in Note.MIDI.
type Clef struct {
	Sign   string // "F", "G", "C"
	Line   int
	Octave int
}

// Tempo is a tempo mark inside a measure.
type Tempo struct {
	At  Ticks   // from the start of the measure
	QPM float64 // quarter notes a minute
}

// Flow is a word about the pace: from here on it may change as the player likes (rit.,
// rall., accel.), or the tempo is taken again (a tempo).
type Flow struct {
	At   Ticks // from the start of the measure
	Free bool
}

// Text is a line of words over the staff: what a composer or a teacher wrote there for
// the player to read.
type Text struct {
	At   Ticks // from the start of the measure
	Says string
}

// Note is one printed note or rest.
type Note struct {
	Start  Ticks // from the start of the measure
	Length Ticks // 0 for a grace note
	Rest   bool
	MIDI   int // as it sounds; 0 for a rest
	Spelling
	Value  string // "whole", "half", "quarter", "eighth", "16th", …; empty where not told
	Dots   int
	Tuplet Tuplet

	TieToNext   bool
	SlurFrom    bool // slurred from the note before: no new bow
	SlurTo      bool // slurred to the note after
	Grace       bool
	Beam        string // "begin", "continue", "end", "" on the first level
	Accidental  string // printed accidental: "sharp", "flat", "natural", …; empty for none
	Marks       Marks
	Articulated Articulation
	Dynamics    string // how loud from here on, as it stands under the note: "mf", "cresc."; empty for none
}

// At is a printed note: indices into Piece.Measures and Measure.Notes.
type At struct{ Measure, Note int }

// Before reports whether a note stands before another.
func (a At) Before(b At) bool {
	return a.Measure < b.Measure || a.Measure == b.Measure && a.Note < b.Note
}

// Tuplet says that Actual notes stand in the time of Normal; zero for none.
type Tuplet struct{ Actual, Normal int }

// Marks are what a teacher pencils over a note. Zero values mean unmarked.
type Marks struct {
	Finger   string // "0".."4", "T" for the thumb
	String   int    // 1 is the highest (G); 0 unmarked
	Position string // a token: half, 1, 2, 2-3, 3, … thumb
	Bow      Bow
	Harmonic bool // natural harmonic
	Open     bool // the open-string sign
}

// Bow is a bow mark.
type Bow string

// The bow marks.
const (
	NoBow Bow = ""
	Down  Bow = "down"
	Up    Bow = "up"
)

// Articulation gathers what changes how long a note ought to sound.
type Articulation struct {
	Staccato bool
	Fermata  bool
	Breath   bool // a breath mark or caesura follows
	Pizz     bool // plucked
}
