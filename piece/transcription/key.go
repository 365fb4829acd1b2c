package transcription

import (
	"math"

	"endpin/piece"
	"endpin/piece/writing"
)

// How well each degree of the chromatic scale fits a key: Temperley, "What's key for key?
// The Krumhansl-Schmuckler key-finding algorithm reconsidered", Music Perception 17, 1999
// (from memory).
var (
	major = [12]float64{5, 2, 3.5, 2, 4.5, 4, 2, 4.5, 2, 3.5, 1.5, 4}
	minor = [12]float64{5, 2, 3.5, 4.5, 2, 4, 2, 4.5, 3.5, 2, 1.5, 4}
)

// ends is how much more the first and the last note say of the key than their length.
const ends = 2

// keyOf proposes the key of a line, by how long each pitch sounds and how it ends.
func keyOf(line []writing.Note) piece.Key {
	var weight [12]float64
	for i, n := range line {
		w := math.Sqrt(n.Length.Quarters()) // a long note counts more, not in proportion
		if i == len(line)-1 || i == 0 {
			w *= ends
		}
		weight[n.MIDI%12] += w
	}
	best, key := math.Inf(-1), piece.Key{}
	for tonic := range 12 {
		for _, minorKey := range []bool{false, true} {
			profile, relative := major, 0
			if minorKey {
				profile, relative = minor, 3
			}
			if r := correlation(weight, profile, tonic); r > best {
				best, key = r, piece.Key{Fifths: fifths((tonic + relative) % 12), Minor: minorKey}
			}
		}
	}
	return key
}

// fifths is the signature of the major key on a pitch class, from five flats to six sharps.
func fifths(tonic int) int { return (tonic*7+5)%12 - 5 }

func correlation(weight, profile [12]float64, tonic int) float64 {
	var w, p float64
	for i := range 12 {
		w, p = w+weight[i]/12, p+profile[i]/12
	}
	var wp, ww, pp float64
	for i := range 12 {
		a, b := weight[(tonic+i)%12]-w, profile[i]-p
		wp, ww, pp = wp+a*b, ww+a*a, pp+b*b
	}
	return wp / math.Sqrt(max(ww*pp, 1e-12))
}
