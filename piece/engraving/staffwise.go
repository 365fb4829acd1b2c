package engraving

import (
	"slices"
	"strings"

	"endpin/piece"
)

// clefDegree is the letter on the clef's line. A clef's ottava does not count:
// spellings are as written.
var clefDegree = map[string]int{"F": 3*7 + 3, "G": 4*7 + 4, "C": 4 * 7}

func sane(c piece.Clef) piece.Clef {
	if _, ok := clefDegree[c.Sign]; !ok {
		return piece.Clef{Sign: "F", Line: 4, Octave: c.Octave}
	}
	if c.Line < 1 || c.Line > 5 {
		c.Line = map[string]int{"F": 4, "G": 2, "C": 3}[c.Sign]
	}
	return c
}

// heightOf is the y of a letter under a clef: 0 on the top line, 4 on the lowest.
func heightOf(c piece.Clef, degree int) float64 {
	c = sane(c)
	return float64(5-c.Line) + float64(clefDegree[c.Sign]-degree)/2
}

// clefGlyph is the clef's character; small for a change of clef.
func clefGlyph(c piece.Clef, change bool) rune {
	switch c = sane(c); {
	case change && c.Octave == 0:
		return map[string]rune{"F": fClefChange, "G": gClefChange, "C": cClefChange}[c.Sign]
	case c.Octave < 0 && c.Sign == "F":
		return fClef8vb
	case c.Octave < 0 && c.Sign == "G":
		return gClef8vb
	}
	return map[string]rune{"F": fClef, "G": gClef, "C": cClef}[c.Sign]
}

// The order of sharps and flats, as letters.
var (
	sharpLetters = []int{3, 0, 4, 1, 5, 2, 6}
	flatLetters  = []int{6, 2, 5, 1, 4, 0, 3}
	// Heights in half spaces under the G clef; other clefs move them whole
	// (common practice; Gould, Behind Bars, key signatures, from memory).
	sharpHeights = []int{0, 3, -1, 2, 5, 1, 4}
	flatHeights  = []int{4, 1, 5, 2, 6, 3, 7}
	tenorSharps  = []int{6, 2, 5, 1, 4, 0, 3} // else the first would stand over the staff
)

// keyHeights gives the y of each sharp or flat of a key signature.
func keyHeights(c piece.Clef, fifths int) []float64 {
	c = sane(c)
	pattern, letters := sharpHeights, sharpLetters
	if fifths < 0 {
		pattern, letters, fifths = flatHeights, flatLetters, -fifths
	}
	if c.Sign == "C" && c.Line == 4 && letters[0] == 3 {
		pattern = tenorSharps
	}
	fifths = min(fifths, 7)
	ys := make([]float64, fifths)
	// The letter's own height nearest the pattern, moved as one.
	move := 0
	if fifths > 0 {
		h := int(2 * heightOf(c, 3*7+letters[0]))
		move = ((h-pattern[0])%7 + 7) % 7
		if move > 3 {
			move -= 7
		}
	}
	for i := range ys {
		ys[i] = float64(pattern[i]+move) / 2
	}
	return ys
}

// keyAlter is what the key signature does to a letter.
func keyAlter(k piece.Key, step string) int {
	n := min(max(k.Fifths, -14), 14)
	letters, sign := sharpLetters, 1
	if n < 0 {
		letters, sign, n = flatLetters, -1, -n
	}
	alter := 0
	for i := range n {
		if letters[i%7] == strings.Index(piece.Letters, step) {
			alter += sign
		}
	}
	return alter
}

var accidentalGlyphs = map[int]rune{-2: accidentalDoubleFlat, -1: accidentalFlat, 0: accidentalNatural, 1: accidentalSharp, 2: accidentalDoubleSharp}

// accidentals gives each note its accidental, or 0. Where the file prints one
// it is printed; else one is due where the alteration differs from what holds
// for that letter and octave: what stood earlier in the measure, else the key.
// A note tied over the barline needs none (Gould, accidentals, from memory).
func accidentals(m *piece.Measure, tied func(i int) bool) []rune {
	holds := map[int]int{}
	out := make([]rune, len(m.Notes))
	for i := range m.Notes {
		n := &m.Notes[i]
		if n.Rest {
			continue
		}
		d := n.Spelling.Degree()
		now, ok := holds[d]
		if !ok {
			now = keyAlter(m.Key, n.Step)
		}
		due := n.Alter != now && !tied(i)
		if !due && n.Accidental == "" {
			continue
		}
		out[i] = accidentalGlyphs[n.Alter]
		holds[d] = n.Alter
	}
	return out
}

// drawn are the values that the music font has signs for, the longest first.
var drawn = piece.Values[2:11]

// flagsOf is how many flags a note has.
func flagsOf(n *piece.Note) int { return piece.ValueFlags(drawn[valueOf(n)]) }

// valueOf is the index into drawn; a note that tells no value gets the
// longest that its length holds.
func valueOf(n *piece.Note) int {
	if i := slices.Index(drawn, n.Value); i >= 0 {
		return i
	}
	length := n.Length
	if n.Tuplet.Normal > 0 {
		length = length * piece.Ticks(n.Tuplet.Actual) / piece.Ticks(n.Tuplet.Normal)
	}
	if n.Grace {
		length = piece.Quarter / 2
	}
	for i, v := range drawn {
		if piece.ValueLength(v) <= length {
			return i
		}
	}
	return len(drawn) - 1
}

var restGlyphs = []rune{restDoubleWhole, restWhole, restHalf, restQuarter, rest8th, rest16th, rest32nd, rest64th, rest128th}

func headGlyph(value int) rune {
	return [...]rune{noteheadDoubleWhole, noteheadWhole, noteheadHalf, noteheadBlack}[min(value, 3)]
}
