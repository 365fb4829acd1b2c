package finding

import (
	"strings"

	"endpin/piece"
	"endpin/piece/words"
)

// Intonation says where the degrees of a scale lie: cents above the tonic's
// equal-tempered semitones, from the tonic up.
type Intonation struct {
	Name    string
	Degrees [12]float64
}

// The intonations. Just takes the ratios 16/15 9/8 6/5 5/4 4/3 45/32 3/2 8/5 5/3
// 16/9 15/8, Pythagorean the chain of pure fifths from a minor second to an
// augmented fourth (both as in H. Helmholtz, "On the Sensations of Tone", from
// memory; cents by 1200·log2).
var (
	Equal       = Intonation{Name: "equal"}
	Just        = Intonation{"just", [12]float64{0, 11.73, 3.91, 15.64, -13.69, -1.96, -9.78, 1.96, 13.69, -15.64, -3.91, -11.73}}
	Pythagorean = Intonation{"pythagorean", [12]float64{0, -9.78, 3.91, -5.87, 7.82, -1.96, 11.73, 1.96, -7.82, 5.87, -3.91, 9.78}}
)

// IntonationByName finds an intonation by its name.
func IntonationByName(name string) (Intonation, error) {
	for _, i := range []Intonation{Equal, Just, Pythagorean} {
		if i.Name == strings.ToLower(name) {
			return i, nil
		}
	}
	return Intonation{}, words.Fault("finding.option.intonation", "name", words.Quoted(name))
}

// Cents is where a note lies from equal temperament in a key, so that A keeps
// the reference's own pitch.
func (t Intonation) Cents(midi int, k piece.Key) float64 {
	tonic := tonicOf(k)
	const a = 9
	return t.Degrees[((midi-tonic)%12+12)%12] - t.Degrees[((a-tonic)%12+12)%12]
}

// tonicOf gives the pitch class of a key's tonic.
func tonicOf(k piece.Key) int {
	t := k.Fifths * 7
	if k.Minor {
		t += 9
	}
	return (t%12 + 12) % 12
}
