package tuning

import (
	"math"
	"slices"

	"endpin/dsp"
	"endpin/piece/fingerboard"
)

// How far a string may be from its note, in semitones, and still be taken for
// that string: strings slip down, and are seldom above. Between fourths a gap is
// left where nothing is told.
const (
	farBelow = 2.5
	farAbove = 1.5
)

// sharedHarmonic is how far a harmonic may be from its note, in semitones.
const sharedHarmonic = 1.5

// open is an open string at the reference A.
type open struct {
	number int // 1 is the highest
	name   string
	note   int // MIDI
}

// hz is its frequency in equal temperament at a reference A.
func (o open) hz(a4 float64) float64 { return dsp.Hz(float64(o.note)) * a4 / dsp.ReferenceA }

// strung lists an instrument's open strings, the lowest first.
func strung(in fingerboard.Instrument) []open {
	var all []open
	for i, s := range in.Strings {
		all = append(all, open{i + 1, s.Name, s.MIDI})
	}
	slices.SortFunc(all, func(a, b open) int { return a.note - b.note })
	return all
}

// common is a harmonic that two neighbouring strings share: the lower string's
// partial and the upper's, which a pure interval brings together.
type common struct {
	lower, upper    open
	lowPart, upPart int
}

// partials are those that come together over an interval in semitones: 4:3 over
// a fourth, 3:2 over a fifth.
var partials = map[int][2]int{5: {4, 3}, 7: {3, 2}}

// pairs lists the neighbours that share a harmonic. One whose harmonic lies
// where an open string is sought is left out: the two could not be told apart.
func pairs(strings []open) []common {
	var all []common
	for i := 1; i < len(strings); i++ {
		low, up := strings[i-1], strings[i]
		parts, ok := partials[up.note-low.note]
		if !ok {
			continue
		}
		c := common{low, up, parts[0], parts[1]}
		clear := true
		for _, s := range strings {
			d := c.note() - float64(s.note)
			clear = clear && (d < -farBelow-sharedHarmonic || d > farAbove+sharedHarmonic)
		}
		if clear {
			all = append(all, c)
		}
	}
	return all
}

// note is where the shared harmonic lies in equal temperament, as a MIDI number:
// between the two partials.
func (c common) note() float64 {
	return (float64(c.lower.note) + above(c.lowPart) + float64(c.upper.note) + above(c.upPart)) / 2
}

// above is how far a partial lies above its fundamental, semitones.
func above(partial int) float64 { return 12 * math.Log2(float64(partial)) }

// Beats is how often a second two strings beat whose partials of these numbers
// come together: |p·f - q·g|, for a fourth |4·f - 3·g| (H. von Helmholtz, On the
// Sensations of Tone, ch. 8: as often as the frequencies differ; from memory).
// Frequencies are the open strings' in Hz, the lower string first.
func Beats(lower, upper float64, lowPartial, upPartial int) float64 {
	return math.Abs(float64(lowPartial)*lower - float64(upPartial)*upper)
}
