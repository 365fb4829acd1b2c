package fingerboard

import "endpin/piece/words"

// The cello (from memory): a finger a semitone, and a whole tone between first
// and second where the hand extends forward or the first finger back. Second
// position and those above it lie a semitone lower or higher as the key asks.
var (
	celloHand = Hand{{"1", 0, Plain}, {"2", 1, Plain}, {"3", 2, Plain}, {"4", 3, Plain},
		{"1", -1, Reaching}, {"2", 2, Reaching}, {"3", 3, Reaching}, {"4", 4, Reaching}}
	celloHigh = Hand{{"1", 0, Plain}, {"2", 1, Plain}, {"2", 2, Plain}, {"3", 3, Plain}, {"3", 4, Reaching}, {"4", 5, MarkedOnly}}
	// The thumb across a fifth; the fingers in whole and half tones above it.
	celloThumb = Hand{{"T", 0, Plain}, {"1", 2, Plain}, {"2", 3, Plain}, {"2", 4, Plain}, {"3", 5, Plain}, {"1", 1, Reaching}, {"3", 6, Reaching}}

	celloSystem = System{Name: "cello with extensions", Costs: DefaultCosts(), Positions: append([]Position{
		{"half", 1, celloHand, 0, 0},
		{"1", 2, celloHand, 0, 0},
		{"2", 3, celloHand, 0.2, 0},
		{"2", 4, celloHand, 0.2, 0},
		{"3", 5, celloHand, 0.1, 0},
		{"3", 6, celloHand, 0.3, 0},
		{"4", 7, celloHand, 0, 0},
		{"5", 8, celloHigh, 0.3, 0},
		{"5", 9, celloHigh, 0.3, 0},
		{"6", 10, celloHigh, 0.3, 0},
		{"6", 11, celloHigh, 0.3, 0},
		{"7", 12, celloHigh, 0.3, 0},
	}, thumbs(celloThumb, 12, 22)...)}
)

func thumbs(h Hand, from, to int) []Position {
	var table []Position
	for at := from; at <= to; at++ {
		table = append(table, Position{"thumb", at, h, 1.5, 0})
	}
	return table
}

// Violin and viola (from memory): each finger serves a note name, so it lies
// low or high as the key asks and the hand does not move for it. A place here
// is where the first finger lies on the open string's own major scale.
var (
	violinHand = Hand{{"1", 0, Plain}, {"1", -1, Plain}, {"2", 1, Plain}, {"2", 2, Plain}, {"3", 3, Plain},
		{"3", 4, Plain}, {"4", 5, Plain}, {"4", 4, MarkedOnly}, {"4", 6, Reaching}, {"1", 1, MarkedOnly}, {"3", 2, MarkedOnly}}
	violinSystem = System{Name: "violin and viola", Costs: DefaultCosts(), Positions: []Position{
		{"half", 1, violinHand, 0.3, 0},
		{"1", 2, violinHand, 0, 0},
		{"2", 4, violinHand, 0.2, 0},
		{"3", 5, violinHand, 0, 0},
		{"4", 7, violinHand, 0.2, 0},
		{"5", 9, violinHand, 0.2, 0},
		{"6", 10, violinHand, 0.3, 0},
		{"7", 12, violinHand, 0.3, 0},
		{"8", 14, violinHand, 0.4, 0},
		{"9", 16, violinHand, 0.4, 0},
		{"10", 17, violinHand, 0.4, 0},
		{"11", 19, violinHand, 0.4, 0},
	}}
)

// DoubleBass is the orchestral bass of four strings in fourths, three-quarter
// size (about 105 cm; half size is about 960 mm), under the usual school. Common practice.
func DoubleBass() Instrument {
	return Instrument{
		Name:    words.Of("piece.instrument.bass"),
		Family:  "bass",
		Strings: []String{{"G", 43, 0}, {"D", 38, 0}, {"A", 33, 0}, {"E", 28, 0}},
		System:  builtIn()[0].System(),
		Length:  1050,
		Reach:   24,
		Printed: -12,
	}
}

// HalfSizeBass is the length in millimetres of a half-size bass's strings.
const HalfSizeBass = 960.0

// BassWithPivots is the double bass under the school of pivots.
func BassWithPivots() Instrument { return bassUnder("pivots") }

// BassFourFingers is the double bass with four fingers a semitone apiece.
func BassFourFingers() Instrument { return bassUnder("four-fingers") }

// SoloBass is tuned a whole tone up and fingered as printed: a printed G is the
// open string and sounds A, an octave lower less a whole tone.
func SoloBass() Instrument {
	in := DoubleBass()
	in.Name = words.Of("piece.instrument.bass-solo")
	in.Strings = []String{{"A", 45, 0}, {"E", 40, 0}, {"B", 35, 0}, {"F♯", 30, 0}}
	in.Printed = -10
	return in
}

// FiveStringBass has a low B string.
func FiveStringBass() Instrument {
	in := DoubleBass()
	in.Name = words.Of("piece.instrument.bass-five-strings")
	in.Strings = append(in.Strings, String{"B", 23, 0})
	return in
}

// ExtendedBass carries its E string down to C.
func ExtendedBass() Instrument {
	in := DoubleBass()
	in.Name = words.Of("piece.instrument.bass-c-extension")
	in.Strings[3].Below = 4
	return in
}

// Cello is the cello with extensions.
func Cello() Instrument {
	return Instrument{
		Name:    words.Of("piece.instrument.cello"),
		Family:  "cello",
		Strings: []String{{"A", 57, 0}, {"D", 50, 0}, {"G", 43, 0}, {"C", 36, 0}},
		System:  celloSystem,
		Length:  690,
		Reach:   28,
	}
}

// Viola is the viola.
func Viola() Instrument {
	return Instrument{
		Name:    words.Of("piece.instrument.viola"),
		Family:  "viola",
		Strings: []String{{"A", 69, 0}, {"D", 62, 0}, {"G", 55, 0}, {"C", 48, 0}},
		System:  violinSystem,
		Length:  370,
		Reach:   24,
	}
}

// Violin is the violin.
func Violin() Instrument {
	return Instrument{
		Name:    words.Of("piece.instrument.violin"),
		Family:  "violin",
		Strings: []String{{"E", 76, 0}, {"A", 69, 0}, {"D", 62, 0}, {"G", 55, 0}},
		System:  violinSystem,
		Length:  328,
		Reach:   24,
	}
}

// bassUnder is the bass under a school that comes along.
func bassUnder(name string) Instrument {
	s, err := SchoolByName(name)
	if err != nil {
		panic(err) // it comes along
	}
	in, _ := DoubleBass().Under(s) // the bass has schools
	return in
}

// Named is an instrument under the word by which a command asks for it.
type Named struct {
	Word string
	Instrument
}

// Instruments lists every instrument here.
func Instruments() []Named {
	return []Named{
		{"bass", DoubleBass()},
		{"bass-pivots", BassWithPivots()},
		{"bass-four-fingers", BassFourFingers()},
		{"bass-solo", SoloBass()},
		{"bass-five-strings", FiveStringBass()},
		{"bass-c-extension", ExtendedBass()},
		{"cello", Cello()},
		{"viola", Viola()},
		{"violin", Violin()},
	}
}

// Reading finds an instrument that sounds so many semitones from the page: "bass-solo" for
// -10. Of several it is the first, or one of a family, where that is among them.
func Reading(printed int, family string) (found Named, ok bool) {
	for _, in := range Instruments() {
		if in.Printed == printed && (!ok || in.Family == family && found.Family != family) {
			found, ok = in, true
		}
	}
	return found, ok
}

// ByWord finds an instrument by its word.
func ByWord(word string) (Instrument, error) {
	var known []string
	for _, n := range Instruments() {
		if n.Word == word {
			return n.Instrument, nil
		}
		known = append(known, n.Word)
	}
	return Instrument{}, words.Fault("piece.instrument.unknown", "typed", words.Quoted(word), "known", words.Row(known...))
}
