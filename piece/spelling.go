package piece

import "strings"

// The letters of notes from C up, and as sharps come into a key signature, along the line
// of fifths; flats come in from its end.
const (
	Letters = "CDEFGAB"
	Sharps  = "FCGDAEB"
)

// AlongFifths is the letter, with its alteration, that lies so many fifths above F: C for
// 1, F and 1 for 7, B and -1 for -1.
func AlongFifths(n int) (letter string, alter int) {
	i := ((n % 7) + 7) % 7
	return Sharps[i : i+1], (n - i) / 7
}

// Key is a key signature: sharps above zero, flats below.
type Key struct {
	Fifths int
	Minor  bool
}

// Of is by how many semitones the key alters a letter: 1 for F in G major.
func (k Key) Of(letter string) int {
	at := strings.Index(Sharps, letter)
	switch {
	case at < 0 || letter == "":
		return 0
	case k.Fifths > at:
		return 1
	case -k.Fifths > 6-at:
		return -1
	}
	return 0
}

// Tonic is the letter and the alteration of the key's first degree: B and -1 for B♭ major.
func (k Key) Tonic() (letter string, alter int) {
	at := k.Fifths + 1
	if k.Minor {
		at += 3
	}
	return AlongFifths(at)
}

// Class is the pitch class of the key's first degree: 0 for C, 10 for B♭.
func (k Key) Class() int {
	fifths := k.Fifths
	if k.Minor {
		fifths += 3
	}
	return ((7*fifths)%12 + 12) % 12
}

// Spelling is how a note is written: its letter, alteration and octave on the page.
type Spelling struct {
	Step   string // "C".."B"
	Alter  int
	Octave int
}

// Semitones is how far a letter lies above C, in semitones; ok is false for what is none.
func Semitones(letter string) (n int, ok bool) {
	if len(letter) != 1 || !strings.Contains(Letters, letter) {
		return 0, false
	}
	return [...]int{0, 2, 4, 5, 7, 9, 11}[strings.Index(Letters, letter)], true
}

// Octave is how many semitones there are in one.
const Octave = 12

// Pitch is the MIDI number of what is written: 60 for C in the fourth octave.
func (s Spelling) Pitch() int {
	above, _ := Semitones(s.Step)
	return Octave*(s.Octave+1) + above + s.Alter
}

// Degree counts letters and octaves through, on the page: 0 for C in octave 0, 7 for C in
// the first.
func (s Spelling) Degree() int { return 7*s.Octave + strings.Index(Letters, s.Step) }

// Shift is how far a note sounds from where it is written, in semitones.
func (n *Note) Shift() int { return n.MIDI - n.Pitch() }
