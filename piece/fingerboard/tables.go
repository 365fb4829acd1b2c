package fingerboard

import "endpin/piece/words"

// The double bass in the 1-2-4 system: the positions' names and places as in
// F. Simandl's method (from memory), the hand a whole tone wide.

// On the neck the fourth finger holds the whole tone, the third behind it.
var neckHand = Hand{{"1", 0, Plain}, {"2", 1, Plain}, {"4", 2, Plain}, {"3", 2, MarkedOnly}}

// Past the heel of the neck the third finger replaces the fourth.
var heelHand = Hand{{"1", 0, Plain}, {"2", 1, Plain}, {"3", 2, Plain}, {"4", 2, MarkedOnly}}

// In thumb position the thumb lies across the string and the fingers fall in
// whole or half tones as the key asks.
var bassThumb = Hand{{"T", 0, Plain}, {"1", 2, Plain}, {"1", 1, Plain}, {"2", 4, Plain}, {"2", 3, Plain},
	{"3", 5, Plain}, {"3", 4, Plain}, {"2", 2, MarkedOnly}, {"3", 3, MarkedOnly}}

var oneTwoFour = System{Name: "1-2-4", Positions: bassPositions(neckHand, heelHand)}

// With pivots the thumb stays and the hand rocks to the neighbouring semitones.
var pivots = System{Name: "1-2-4 with pivots", Positions: bassPositions(rocking(neckHand), rocking(heelHand))}

// Four fingers a semitone apiece.
var fourFingers = System{Name: "four fingers", Positions: bassPositions(fourHand, fourHand)}

var fourHand = Hand{{"1", 0, Plain}, {"2", 1, Plain}, {"3", 2, Plain}, {"4", 3, Plain}}

// bassPositions is the table of the bass's positions for the hand on the neck
// and the hand past its heel.
func bassPositions(neck, heel Hand) []Position {
	table := []Position{
		{"half", 1, neck, 0.2},
		{"1", 2, neck, 0},
		{"2", 3, neck, 0.6},
		{"2-3", 4, neck, 0.7},
		{"3", 5, neck, 0},
		{"3-4", 6, neck, 0.7},
		{"4", 7, neck, 0.3},
		{"5", 8, neck, 0.5},
		{"5-6", 9, heel, 0.7},
		{"6", 10, heel, 0.5},
		{"6-7", 11, heel, 0.7},
		{"7", 12, heel, 0.5},
	}
	return append(table, thumbs(bassThumb, 12, 19)...)
}

// rocking is a hand that pivots a semitone down and up. Within its own whole
// tone a rocked hand changes fingers only where a mark says so.
func rocking(h Hand) Hand {
	rocked := append(Hand{}, h...)
	outer := h[2].Name
	return append(rocked,
		Finger{"1", -1, Reaching}, Finger{outer, 3, Reaching},
		Finger{"2", 0, MarkedOnly}, Finger{outer, 1, MarkedOnly},
		Finger{"1", 1, MarkedOnly}, Finger{"2", 2, MarkedOnly})
}

// The cello (from memory): a finger a semitone, and a whole tone between first
// and second where the hand extends forward or the first finger back. Second
// position and those above it lie a semitone lower or higher as the key asks.
var (
	celloHand = Hand{{"1", 0, Plain}, {"2", 1, Plain}, {"3", 2, Plain}, {"4", 3, Plain},
		{"1", -1, Reaching}, {"2", 2, Reaching}, {"3", 3, Reaching}, {"4", 4, Reaching}}
	celloHigh = Hand{{"1", 0, Plain}, {"2", 1, Plain}, {"2", 2, Plain}, {"3", 3, Plain}, {"3", 4, Reaching}, {"4", 5, MarkedOnly}}
	// The thumb across a fifth; the fingers in whole and half tones above it.
	celloThumb = Hand{{"T", 0, Plain}, {"1", 2, Plain}, {"2", 3, Plain}, {"2", 4, Plain}, {"3", 5, Plain}, {"1", 1, Reaching}, {"3", 6, Reaching}}

	celloSystem = System{Name: "cello with extensions", Positions: append([]Position{
		{"half", 1, celloHand, 0},
		{"1", 2, celloHand, 0},
		{"2", 3, celloHand, 0.2},
		{"2", 4, celloHand, 0.2},
		{"3", 5, celloHand, 0.1},
		{"3", 6, celloHand, 0.3},
		{"4", 7, celloHand, 0},
		{"5", 8, celloHigh, 0.3},
		{"5", 9, celloHigh, 0.3},
		{"6", 10, celloHigh, 0.3},
		{"6", 11, celloHigh, 0.3},
		{"7", 12, celloHigh, 0.3},
	}, thumbs(celloThumb, 12, 22)...)}
)

func thumbs(h Hand, from, to int) []Position {
	var table []Position
	for at := from; at <= to; at++ {
		table = append(table, Position{"thumb", at, h, 1.5})
	}
	return table
}

// Violin and viola (from memory): each finger serves a note name, so it lies
// low or high as the key asks and the hand does not move for it. A place here
// is where the first finger lies on the open string's own major scale.
var (
	violinHand = Hand{{"1", 0, Plain}, {"1", -1, Plain}, {"2", 1, Plain}, {"2", 2, Plain}, {"3", 3, Plain},
		{"3", 4, Plain}, {"4", 5, Plain}, {"4", 4, MarkedOnly}, {"4", 6, Reaching}, {"1", 1, MarkedOnly}, {"3", 2, MarkedOnly}}
	violinSystem = System{Name: "violin and viola", Positions: []Position{
		{"half", 1, violinHand, 0.3},
		{"1", 2, violinHand, 0},
		{"2", 4, violinHand, 0.2},
		{"3", 5, violinHand, 0},
		{"4", 7, violinHand, 0.2},
		{"5", 9, violinHand, 0.2},
		{"6", 10, violinHand, 0.3},
		{"7", 12, violinHand, 0.3},
		{"8", 14, violinHand, 0.4},
		{"9", 16, violinHand, 0.4},
		{"10", 17, violinHand, 0.4},
		{"11", 19, violinHand, 0.4},
	}}
)

// DoubleBass is the orchestral bass of four strings in fourths, three-quarter
// size (about 105 cm; half size is about 960 mm), in the 1-2-4 system. Common practice.
func DoubleBass() Instrument {
	return Instrument{
		Name:    words.Of("piece.instrument.bass"),
		Family:  "bass",
		Strings: []String{{"G", 43, 0}, {"D", 38, 0}, {"A", 33, 0}, {"E", 28, 0}},
		System:  oneTwoFour,
		Length:  1050,
		Reach:   24,
		Printed: -12,
	}
}

// HalfSizeBass is the length in millimetres of a half-size bass's strings.
const HalfSizeBass = 960.0

// BassWithPivots is the double bass in the 1-2-4 system with pivots.
func BassWithPivots() Instrument { return withSystem(DoubleBass(), pivots) }

// BassFourFingers is the double bass with four fingers a semitone apiece.
func BassFourFingers() Instrument { return withSystem(DoubleBass(), fourFingers) }

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

func withSystem(in Instrument, s System) Instrument {
	in.System = s
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

// ReadElsewhere is the word of an instrument whose notes sound so many semitones from
// where this one's do on the same page: "bass-solo" two above the bass. "" for none.
func (in Instrument) ReadElsewhere(by int) string {
	for _, other := range Instruments() {
		if by != 0 && other.Printed == in.Printed+by {
			return other.Word
		}
	}
	return ""
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
