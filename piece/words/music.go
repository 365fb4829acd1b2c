package words

import (
	"math"
	"strconv"
)

// Note is a note by its name, as it is written: its step "A" to "G", raised by so
// many semitones.
type Note struct {
	Step  string
	Alter int
}

// PitchClass names a pitch where no spelling is known: C, C♯, D, E♭, E, F, F♯, G, A♭,
// A, B♭, B.
func PitchClass(midi int) Note {
	return [12]Note{{"C", 0}, {"C", 1}, {"D", 0}, {"E", -1}, {"E", 0}, {"F", 0}, {"F", 1}, {"G", 0}, {"A", -1}, {"A", 0}, {"B", -1}, {"B", 0}}[((midi%12)+12)%12]
}

// In implements Sayer: "C♯", "B♭"; other languages have other names.
func (n Note) In(w *Words) string {
	return w.Say("music.note." + n.Step + accidentals[n.Alter])
}

func (n Note) String() string { return n.In(Here()) }

var accidentals = map[int]string{-2: ".double-flat", -1: ".flat", 1: ".sharp", 2: ".double-sharp"}

// OpenString is a string by the letter of its open note: "G"; any other name as it is.
type OpenString string

// In implements Sayer: the note's name.
func (s OpenString) In(w *Words) string {
	if len(s) == 1 && s[0] >= 'A' && s[0] <= 'G' {
		return Note{Step: string(s)}.In(w)
	}
	return string(s)
}

func (s OpenString) String() string { return s.In(Here()) }

// OpenStrings are several in a row: "E, A and D".
func OpenStrings(names []string) List {
	var all List
	for _, n := range names {
		all = append(all, OpenString(n).String())
	}
	return all
}

// Signed is the note with its sign also where that is a natural: "F♮".
func (n Note) Signed() Sayer {
	if n.Alter == 0 {
		return Of("music.natural", "note", n)
	}
	return n
}

// Pitch is a pitch as it sounds, by its number in MIDI: "F♯2"; C4 is middle C. French
// counts its octaves from one lower, where middle C is do3: the place "below".
type Pitch int

// In implements Sayer.
func (p Pitch) In(w *Words) string {
	octave := int(math.Floor(float64(p)/12)) - 1
	return w.Say("music.pitch", "note", PitchClass(int(p)), "octave", octave, "below", octave-1)
}

func (p Pitch) String() string { return p.In(Here()) }

// Value is a note by its written value, as MusicXML names it, and its name: "dotted
// half note G".
type Value struct {
	Type string // "quarter", "half", "16th"; "" for none known
	Dots int
	Note Note // its step "" for none
}

// In implements Sayer.
func (v Value) In(w *Words) string {
	if v.Type == "" {
		return v.Note.In(w)
	}
	value := "music.value." + v.Type
	if v.Dots > 0 {
		value = "music.dotted." + v.Type
	}
	if v.Note.Step == "" {
		return w.Say(value)
	}
	return w.Say("music.value", "value", Of(value), "note", v.Note)
}

// Position is a position of the left hand, by its token: "half", "1", "2-3",
// "thumb".
type Position string

// In implements Sayer: "third position".
func (p Position) In(w *Words) string { return p.as("music.position.").In(w) }

func (p Position) String() string { return p.In(Here()) }

// Brief is the position in few words: "3rd position".
func (p Position) Brief() Sentence { return p.as("music.position-brief.") }

// Bare is the position's own name without the word for one: "third".
func (p Position) Bare() Sentence { return p.as("music.position-bare.") }

// Least is the position in as few letters as will do: "3rd".
func (p Position) Least() Sentence { return p.as("music.position-least.") }

// LeastBegins is Least where it is the first word: "Half".
func (p Position) LeastBegins() Sentence {
	s := p.Least()
	if p == "half" || p == "thumb" {
		s.Key += ".begins"
	}
	return s
}

// Printed is the position as it is printed over notes: "III", "II–III".
func (p Position) Printed() Sentence {
	if high[p] {
		return Of("music.position-printed." + string(p))
	}
	return p.as("music.position-printed.")
}

// high are positions that only a violin has. They are printed, and have no names.
var high = map[Position]bool{"8": true, "9": true, "10": true, "11": true}

func (p Position) as(key string) Sentence {
	if !positions[p] {
		return Of(key+"unknown", "token", string(p))
	}
	return Of(key + string(p))
}

// positions are those that have names of their own.
var positions = map[Position]bool{"half": true, "1": true, "2": true, "2-3": true, "3": true, "3-4": true, "4": true, "5": true,
	"5-6": true, "6": true, "6-7": true, "7": true, "thumb": true}

// Beat is a place in a measure, from 1 in units of the metre's lower figure: "beat
// 2.5".
type Beat float64

// In implements Sayer.
func (b Beat) In(w *Words) string {
	return w.Say("music.beat", "n", Significant(float64(b), beatDigits(float64(b))))
}

// beatDigits keeps a whole beat whole, however many there are.
func beatDigits(b float64) int {
	if b == math.Trunc(b) {
		return len(strconv.FormatFloat(math.Abs(b), 'f', 0, 64))
	}
	return 3
}

// Beats is a number of beats as a player counts them: "2", "2½", "⅓".
type Beats float64

// In implements Sayer.
func (b Beats) In(w *Words) string {
	x := float64(b)
	whole := math.Floor(x + nearFraction)
	for _, f := range fractions {
		if math.Abs(x-whole-f.at) < nearFraction {
			if whole == 0 && f.sign != "" {
				return f.sign
			}
			return strconv.FormatFloat(whole, 'f', 0, 64) + f.sign
		}
	}
	return Short(x).In(w)
}

func (b Beats) String() string { return b.In(Here()) }

// nearFraction is how near a number of beats lies to a fraction that is written as one.
const nearFraction = 0.02

var fractions = []struct {
	at   float64
	sign string
}{{0, ""}, {1. / 2, "½"}, {1. / 3, "⅓"}, {2. / 3, "⅔"}, {1. / 4, "¼"}, {3. / 4, "¾"}}

// Long is the number with its unit: "½ beat", "2⅓ beats".
func (b Beats) Long() Sentence {
	if float64(b) > 1+nearFraction {
		return Of("music.beats", "n", b)
	}
	return Of("music.beats.one", "n", b)
}

// Share is a part of a whole in words that children use: "about a third".
type Share float64

// In implements Sayer.
func (s Share) In(w *Words) string {
	best := shares[0]
	for _, n := range shares {
		if math.Abs(float64(s)-n.at) < math.Abs(float64(s)-best.at) {
			best = n
		}
	}
	return w.Say("music.share." + best.name)
}

var shares = []struct {
	at   float64
	name string
}{{0.1, "tenth"}, {0.25, "quarter"}, {1. / 3, "third"}, {0.4, "two-fifths"}, {0.5, "half"}, {0.6, "three-fifths"}, {2. / 3, "two-thirds"}, {0.75, "three-quarters"}}

// Distance is a displacement along a string, mm, in words that a hand can act on, the
// side left out: "about a centimetre".
type Distance float64

// In implements Sayer.
func (d Distance) In(w *Words) string {
	switch mm := math.Abs(float64(d)); {
	case mm < 1.5:
		return w.Say("music.distance.millimetre")
	case mm < 4:
		return w.Say("music.distance.millimetres", "n", Whole(math.Round(mm)))
	case mm < 7.5:
		return w.Say("music.distance.half-centimetre")
	case mm < 12.5:
		return w.Say("music.distance.centimetre")
	case mm < 17.5:
		return w.Say("music.distance.centimetre-and-a-half")
	default:
		return w.Say("music.distance.centimetres", "n", Whole(math.Round(mm/10)))
	}
}

// Side names the side on which a displacement lies: "toward the bridge" for a finger
// too far up (sharp), "toward the scroll" for one too far down (flat).
func Side(mm float64) Sentence {
	if mm < 0 {
		return Of("music.scroll")
	}
	return Of("music.bridge")
}

// Off is how far a pitch lies from its place, cents: "12 cents sharp", "1 cent flat",
// "0 cents".
func Off(cents float64) Sentence {
	switch by := int(math.Round(cents)); {
	case by < 0:
		return Many("music.off.flat", -by)
	case by > 0:
		return Many("music.off.sharp", by)
	}
	return Of("music.off.none")
}
