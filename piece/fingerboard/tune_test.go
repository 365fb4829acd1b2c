package fingerboard

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"endpin/piece"
)

// tune writes a line of quarter notes, four to a measure, from note names as
// they sound: "G1 A1 B1". Behind a slash stand marks: a finger, s and a string,
// p and a position, ~ a slur from the note before, o a harmonic; behind a star how
// many quarters it lasts, where not one; a lone "-" is a quarter rest.
func tune(t testing.TB, text string) []piece.Expected {
	var line []piece.Expected
	at := piece.Ticks(0)
	for _, word := range strings.Fields(text) {
		measure := int(at / (4 * piece.Quarter))
		if word == "-" {
			line[len(line)-1].RestAfter += piece.Quarter
			at += piece.Quarter
			continue
		}
		word, times, long := strings.Cut(word, "*")
		length := piece.Quarter
		if long {
			quarters, err := strconv.ParseFloat(times, 64)
			if err != nil {
				t.Fatalf("%q is no length", times)
			}
			length = piece.Ticks(math.Round(quarters * float64(piece.Quarter)))
		}
		name, marks, _ := strings.Cut(word, "/")
		n := piece.Expected{
			Measure: measure, Number: strconv.Itoa(measure + 1), Pass: 1,
			Beat: 1 + float64(at%(4*piece.Quarter))/float64(piece.Quarter),
			Note: len(line), Onset: at, Length: length, MIDI: pitch(t, name),
		}
		for _, m := range strings.Split(marks, "/") {
			switch {
			case m == "":
			case m == "~":
				n.Slurred = true
			case m == "o":
				n.Marks.Harmonic = true
			case m[0] == 's':
				n.Marks.String, _ = strconv.Atoi(m[1:])
			case m[0] == 'p':
				n.Marks.Position = m[1:]
			default:
				n.Marks.Finger = m
			}
		}
		line = append(line, n)
		at += length
	}
	return line
}

func pitch(t testing.TB, name string) int {
	steps := map[byte]int{'C': 0, 'D': 2, 'E': 4, 'F': 5, 'G': 7, 'A': 9, 'B': 11}
	step, ok := steps[name[0]]
	octave, err := strconv.Atoi(name[len(name)-1:])
	if !ok || err != nil {
		t.Fatalf("no note is called %q", name)
	}
	return 12*(octave+1) + step + strings.Count(name, "#") - strings.Count(name[1:], "b")
}

// fingers spells a plan: finger, and the position where it changes.
func fingers(p Plan) string {
	var said []string
	position := ""
	for _, n := range p.Notes {
		word := n.Finger
		if n.Stopped() && n.Position != position {
			word = n.Position + ":" + word
			position = n.Position
		}
		if n.Off {
			word = "?"
		}
		said = append(said, word)
	}
	return strings.Join(said, " ")
}
