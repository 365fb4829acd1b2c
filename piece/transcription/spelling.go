package transcription

import (
	"strings"

	"endpin/piece"
	"endpin/piece/writing"
)

// The window of notes whose pitches speak for a tonic: Meredith's best for music of the
// eighteenth and nineteenth century.
const (
	before = 10
	after  = 42
)

// ownKey is how many notes of the context the tonic of the key counts for.
const ownKey = 5

// degree is on which degree of a scale, 0 to 6, a pitch so many semitones above its tonic
// is written: the harmonic chromatic scale.
var degree = [12]int{0, 1, 1, 2, 2, 3, 3, 4, 5, 5, 6, 6}

// Spell writes every pitch as ps13s1 does: each pitch of its surroundings votes, as a
// tonic, for the letter that the note would then have. The key's own tonic votes too.
func Spell(line []writing.Note, key piece.Key, staff writing.Staff) {
	// Each tonic has a letter of its own in this key: the one of its degree there.
	name, _ := key.Tonic()
	letter, first := strings.Index(piece.Letters, name), key.Class()
	for i := range line {
		var votes [7]float64
		vote := func(pitch int, weight float64) {
			votes[(letter+degree[mod(pitch-first, 12)]+degree[mod(line[i].MIDI-pitch, 12)])%7] += weight
		}
		for _, n := range line[max(0, i-before):min(len(line), i+after)] {
			vote(n.MIDI, 1)
		}
		vote(first, ownKey)
		best := -1
		for l := range 7 {
			if _, ok := alter(line[i].MIDI, l); ok && (best < 0 || votes[l] > votes[best]) {
				best = l
			}
		}
		line[i].Spelling = spelled(line[i].MIDI-staff.Transposed, best)
	}
}

func mod(a, n int) int { return (a%n + n) % n }

// alter is by how much a letter must be altered to sound as a pitch; false for more than
// one semitone, which no note for beginners asks for.
func alter(midi, letter int) (int, bool) {
	a := mod(midi-above(letter)+6, 12) - 6
	return a, a >= -1 && a <= 1
}

// spelled is a written pitch (MIDI number as printed) on a letter.
func spelled(written, letter int) piece.Spelling {
	a, _ := alter(written, letter)
	step := piece.Letters[letter : letter+1]
	return piece.Spelling{Step: step, Alter: a, Octave: (written-a-above(letter))/piece.Octave - 1}
}

// above is how far the letter so many steps from C lies above it, semitones.
func above(letter int) int {
	n, _ := piece.Semitones(piece.Letters[letter : letter+1])
	return n
}
