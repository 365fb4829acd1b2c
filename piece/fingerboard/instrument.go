package fingerboard

import (
	"cmp"
	"slices"

	"endpin/piece/words"
)

// Instrument is what a hand finds: open strings, a string length and a system
// of positions.
type Instrument struct {
	Name    words.Sentence // as another sentence uses it: "double bass"
	Family  string         // what its parts are written for, whatever its tuning and strings: "bass", "cello", "viola", "violin"
	Strings []String
	System  System
	Length  float64 // sounding length of the open strings, millimetres
	Reach   int     // the end of the fingerboard, semitones above an open string
	Chosen  bool    // the system was asked for: a piece's own school does not take its place
	Printed int     // how far its notes sound from where they are printed, in semitones, unless a file says otherwise
}

// Called is what a player calls it in a sentence: "bass", whatever its tuning.
func (in Instrument) Called() words.Sentence {
	return words.Of("piece.family." + cmp.Or(in.Family, "bass"))
}

// OtherThanBass is its family, "" for the bass, which is what is meant where nothing is said.
func (in Instrument) OtherThanBass() string {
	if in.Family == "bass" {
		return ""
	}
	return in.Family
}

// String is one open string. The first of an instrument's is string 1, the highest.
type String struct {
	Name string // "G"
	MIDI int    // as it sounds
	// Below is how many semitones an extension carries the string below its
	// open note: 4 where a low E string reaches C. Those notes are counted as
	// open: no finger of the hand stops them at its place on the neck.
	Below int
}

// System is a school's way of dividing the neck: its positions from the nut up.
type System struct {
	Name      string
	Positions []Position
	Costs     Costs
	Use       []string // the tokens of the positions used; empty for all
	School    string   // by what a piece remembers the school (School.Kept); empty where the system is none
}

// Position is one place of the hand on the neck.
type Position struct {
	Token string // half, 1, 2, 2-3, … thumb
	At    int    // semitones above the open string at which the hand begins
	Hand  Hand
	// Dear is what it costs to go there beyond the move, in the unit of Costs: some
	// places are taught later. Tiring is what each note there costs: near the nut the
	// string is hard to press.
	Dear, Tiring float64
}

// Hand is where the fingers of a hand in place can stop a string.
type Hand []Finger

// Finger is one finger and how far above the hand's beginning it lies.
type Finger struct {
	Name  string `json:"finger"` // "1".."4", "T" for the thumb
	Above int    `json:"above"`  // semitones
	How   Use    `json:"how"`
}

// Use says how readily a finger goes to its place.
type Use int

// How readily a finger is used.
const (
	Plain      Use = iota // it lies there
	Reaching              // it goes there by a pivot or an extension and comes back
	MarkedOnly            // it goes there when a mark asks for it
)

var uses = []string{"", "reach", "marked"}

// UnmarshalText reads a use as a school's file writes it.
func (u *Use) UnmarshalText(text []byte) error {
	i := slices.Index(uses, string(text))
	if i < 0 {
		return words.Fault("piece.school.how", "how", words.Quoted(string(text)))
	}
	*u = Use(i)
	return nil
}

// First is where the first finger lies, semitones above the open string.
func (p Position) First() int {
	for _, f := range p.Hand {
		if f.Name == "1" && f.How == Plain {
			return p.At + f.Above
		}
	}
	return p.At
}

// Tokens lists the system's position tokens from the nut up, each once.
func (s System) Tokens() []string {
	var tokens []string
	for _, p := range s.Positions {
		if !slices.Contains(tokens, p.Token) {
			tokens = append(tokens, p.Token)
		}
	}
	return tokens
}

// stop is one way to sound a pitch: a finger of a hand in place on a string, an
// open string, or a natural harmonic.
type stop struct {
	str       int // from 1, the highest
	place     int // index into System.Positions; nowhere for open strings and harmonics
	finger    string
	use       Use
	semitones int // above the open string; for a harmonic, of the node touched
	open      bool
	harmonic  bool
}

// nowhere is the place of a hand that has not been put down.
const nowhere = -1

// stopped reports whether a finger presses the string down.
func (s stop) stopped() bool { return !s.open && !s.harmonic }

// stops lists every way to stop a pitch or to sound it open, lowest place first.
func (in Instrument) stops(midi int) []stop {
	var found []stop
	for i, s := range in.Strings {
		h := midi - s.MIDI
		if h <= 0 && h >= -s.Below {
			found = append(found, stop{str: i + 1, place: nowhere, finger: "0", semitones: h, open: true})
		}
	}
	for place, p := range in.System.Positions {
		for i, s := range in.Strings {
			h := midi - s.MIDI
			if h < 1 || h > in.Reach {
				continue
			}
			for _, f := range p.Hand {
				if p.At+f.Above == h {
					found = append(found, stop{str: i + 1, place: place, finger: f.Name, use: f.How, semitones: h})
				}
			}
		}
	}
	return found
}

// node is a natural harmonic: how far it sounds above the open string and where
// the finger touches it, both in semitones rounded to the nearest.
type node struct{ sounds, touched int }

// The nodes nearest the nut and their higher twins: the k-th partial sounds
// 12·log2(k) above the open string and is touched at 1/k of its length.
var nodes = []node{{12, 12}, {19, 7}, {19, 19}, {24, 5}, {24, 24}, {28, 4}, {31, 3}}

// harmonics lists the natural harmonics that sound a pitch; where none does,
// those that are touched where that pitch would be stopped, since some files
// write the place and not the sound.
func (in Instrument) harmonics(midi int) []stop {
	var sounding, touching []stop
	for i, s := range in.Strings {
		for _, n := range nodes {
			st := stop{str: i + 1, place: nowhere, semitones: n.touched, harmonic: true}
			switch h := midi - s.MIDI; {
			case h == n.sounds:
				sounding = append(sounding, st)
			case h == n.touched:
				touching = append(touching, st)
			}
		}
	}
	if len(sounding) > 0 {
		return sounding
	}
	return touching
}
