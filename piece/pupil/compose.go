package pupil

import (
	"fmt"
	"math"
	"math/rand"
	"strconv"

	"endpin/piece"
)

// Tune is a piece, how its line is fingered, and its tempo.
type Tune struct {
	Piece *piece.Piece
	Line  []Step
	QPM   float64
}

// Style says what a composed tune may hold. The zero value is a first-year
// player's tune of 8 to 16 measures in quarter notes and their like, unmarked.
type Style struct {
	Measures int  // 0 means 8 to 16, by the seed
	Marked   bool // fingers, strings and positions are written over the notes
	Slurs    bool // some notes are slurred in pairs
	Triplets bool
	Pickup   bool
	Short    bool // no note lasts longer than 2.1 s: recorded single notes do not
}

type pulse struct {
	length piece.Ticks
	rest   bool
}

func pulses(quarters ...float64) []pulse {
	out := make([]pulse, len(quarters))
	for i, q := range quarters { // a rest is written as a negative length
		out[i] = pulse{piece.Ticks(max(q, -q)*float64(piece.Quarter) + 0.5), q < 0}
	}
	return out
}

// Our own figures, such as beginners' books are full of.
var (
	inFour = [][]pulse{
		pulses(1, 1, 1, 1), pulses(1, 1, 1, 1), pulses(2, 1, 1), pulses(1, 1, 2), pulses(2, 2), pulses(1, 2, 1),
		pulses(1, 0.5, 0.5, 1, 1), pulses(0.5, 0.5, 1, 0.5, 0.5, 1), pulses(1.5, 0.5, 1, 1), pulses(1.5, 0.5, 2),
		pulses(0.5, 0.5, 0.5, 0.5, 2), pulses(1, 1, 1, -1), pulses(2, 1, -1), pulses(3, 1), pulses(0.5, 0.5, 0.5, 0.5, 1, 1),
		pulses(1, -1, 1, 1), pulses(1, 1, 0.5, 0.5, 1),
	}
	inThree = [][]pulse{
		pulses(1, 1, 1), pulses(1, 1, 1), pulses(2, 1), pulses(1, 2), pulses(1.5, 0.5, 1), pulses(1, 0.5, 0.5, 1),
		pulses(0.5, 0.5, 1, 1), pulses(1, 1, -1), pulses(0.5, 0.5, 0.5, 0.5, 1), pulses(2, -1),
	}
	closesFour  = [][]pulse{pulses(4), pulses(3, -1), pulses(2, 2), pulses(1, 1, 2), pulses(2, -2)}
	closesThree = [][]pulse{pulses(3), pulses(2, -1), pulses(1, 2)}
	withThirds  = pulses(1, 1.0/3, 1.0/3, 1.0/3, 2)
)

// keys that a beginner on the bass meets, by fifths.
var keys = []int{1, 2, -1, -2, 0}

// Compose makes a tune. The same style and seed make the same tune.
func Compose(style Style, seed int64) *Tune {
	rng := rand.New(rand.NewSource(seed))
	c := composer{rng: rng, style: style, fifths: keys[rng.Intn(len(keys))]}
	time := piece.Time{Beats: 4, Unit: 4}
	figures, closes := inFour, closesFour
	if rng.Intn(3) == 0 {
		time, figures, closes = piece.Time{Beats: 3, Unit: 4}, inThree, closesThree
	}
	measures := style.Measures
	if measures == 0 {
		measures = 8 + 4*rng.Intn(3)
	}
	p := &piece.Piece{Title: fmt.Sprintf("Study %d", seed), Part: "Double Bass", Transposed: -12,
		TransposedBy: "The part says that it sounds an octave below what is written."}
	add := func(number string, figure []pulse) {
		m := piece.Measure{Number: number, Implicit: number == "0", Time: time,
			Key: piece.Key{Fifths: c.fifths}, Clef: piece.Clef{Sign: "F", Line: 4}}
		for _, pulse := range figure {
			m.Notes = append(m.Notes, piece.Note{Start: m.Length, Length: pulse.length, Rest: pulse.rest})
			m.Length += pulse.length
		}
		p.Measures = append(p.Measures, m)
	}
	if style.Pickup {
		add("0", pulses(1))
	}
	for i := range measures {
		figure := figures[rng.Intn(len(figures))]
		if i%4 == 3 || i == measures-1 {
			figure = closes[rng.Intn(len(closes))]
			if style.Short && figure[0].length >= 4*piece.Quarter {
				figure = pulses(2, -2)
			}
		} else if style.Triplets && time.Beats == 4 && rng.Intn(3) == 0 {
			figure = withThirds
		}
		add(strconv.Itoa(i+1), figure)
	}
	qpm := float64(60 + 4*rng.Intn(12))
	if style.Short {
		longest := piece.Ticks(0)
		for _, m := range p.Measures {
			for _, n := range m.Notes {
				if !n.Rest {
					longest = max(longest, n.Length)
				}
			}
		}
		qpm = math.Max(qpm, math.Ceil(longest.Quarters()*60/2.1))
	}
	p.Measures[0].Tempos = []piece.Tempo{{QPM: qpm}}
	t := &Tune{Piece: p, QPM: qpm}
	t.Line = c.melody(p)
	return t
}

// composer holds a hand that wanders over the fingerboard.
type composer struct {
	rng    *rand.Rand
	style  Style
	fifths int

	position string
	left     int // notes still to play before the next shift
	last     int // MIDI
}

// choice is a pitch within the hand's reach.
type choice struct {
	midi int
	Hand
}

// reach lists the notes of the key under the hand in a position, E1 to E3.
func (c *composer) reach(position string) []choice {
	var out []choice
	for s := 4; s >= 1; s-- {
		if c.inKey(openStrings[s]) {
			out = append(out, choice{openStrings[s], Hand{s, "0", "0"}})
		}
		for _, finger := range []string{"1", "2", "4"} {
			midi := openStrings[s] + positions[position] + fingers[finger]
			if c.inKey(midi) && midi <= 52 {
				out = append(out, choice{midi, Hand{s, finger, position}})
			}
		}
	}
	return out
}

// inKey says whether a pitch belongs to the major key of that many fifths.
func (c *composer) inKey(midi int) bool {
	tonic := ((c.fifths*7)%12 + 12) % 12
	switch ((midi-tonic)%12 + 12) % 12 {
	case 0, 2, 4, 5, 7, 9, 11:
		return true
	}
	return false
}

func (c *composer) melody(p *piece.Piece) []Step {
	c.position, c.left, c.last = "1", 4+c.rng.Intn(8), 36+c.rng.Intn(8)
	if c.fifths < 0 && c.rng.Intn(2) == 0 {
		c.position = "half"
	}
	var line []Step
	var onset piece.Ticks
	for mi := range p.Measures {
		m := &p.Measures[mi]
		for ni := range m.Notes {
			n := &m.Notes[ni]
			spell(n, c.fifths)
			at := onset + n.Start
			if n.Rest {
				if len(line) > 0 {
					line[len(line)-1].RestAfter += n.Length
				}
				continue
			}
			to := c.next(len(line) > 0)
			n.MIDI = to.midi
			spell(n, c.fifths)
			if c.style.Slurs && len(line) > 0 && c.rng.Intn(4) == 0 {
				c.slur(p, line, mi, ni, to)
			}
			if c.style.Marked {
				n.Marks = piece.Marks{Finger: to.Finger, String: to.String, Position: to.Position}
				if to.Open() {
					n.Marks.Position, n.Marks.Open = "", true
				}
			}
			line = append(line, Step{Hand: to.Hand, Expected: piece.Expected{
				Measure: mi, Number: m.Number, Pass: 1, Note: ni, Onset: at, Length: n.Length, MIDI: n.MIDI,
				Beat: 1 + float64(n.Start)/float64(m.Time.Beat()), Marks: n.Marks, Slurred: n.SlurFrom}})
		}
		onset += m.Length
	}
	return line
}

// slur ties the bow of a note to the note before, where that note is its
// neighbour on the same string and not itself slurred.
func (c *composer) slur(p *piece.Piece, line []Step, mi, ni int, to choice) {
	before := line[len(line)-1]
	same := before.String == to.String && before.MIDI != to.midi && !before.Open() && !to.Open()
	if !same || before.RestAfter > 0 || before.Slurred {
		return
	}
	p.Measures[before.Measure].Notes[before.Note].SlurTo = true
	p.Measures[mi].Notes[ni].SlurFrom = true
}

// next chooses the next note: most often a neighbour of the last.
func (c *composer) next(shiftable bool) choice {
	shifted := false
	if c.left <= 0 && shiftable {
		shifted = c.shift()
	}
	c.left--
	var all []choice
	var weights []float64
	total := 0.0
	for _, to := range c.reach(c.position) {
		apart := max(to.midi-c.last, c.last-to.midi)
		weight := 0.0
		switch {
		case apart == 0:
			weight = 1.2
		case apart <= 2:
			weight = 3
		case apart <= 4:
			weight = 1.2
		case apart <= 7:
			weight = 0.5
		case apart <= 12:
			weight = 0.08
		default:
			weight = 0.005
		}
		if high := c.position != "1" && c.position != "half"; high && to.String > 2 {
			weight *= 0.3 // one goes up for the high notes
		}
		if to.Open() {
			weight *= 0.6
			if shifted {
				weight = 0 // the shift is heard at once
			}
		}
		all, weights, total = append(all, to), append(weights, weight), total+weight
	}
	x := c.rng.Float64() * total
	for i, w := range weights {
		if x -= w; x < 0 {
			c.last = all[i].midi
			return all[i]
		}
	}
	c.last = all[len(all)-1].midi
	return all[len(all)-1]
}

// shift takes the hand away from home, the first position (half position in
// flat keys too), or from there back home, most often; to where notes of the
// key lie near the last note.
func (c *composer) shift() bool {
	away := []string{"3", "3", "3", "2", "4"}
	home := []string{"1", "1", "1", "1", "3", "2"}
	if c.fifths < 0 {
		away, home = append(away, "half", "half"), append(home, "half", "half")
	}
	candidates := home
	if c.position == "1" || c.position == "half" {
		candidates = append(away, "1")
	}
	for range 12 {
		to := candidates[c.rng.Intn(len(candidates))]
		if to == c.position {
			continue
		}
		near := 0
		for _, n := range c.reach(to) {
			if apart := n.midi - c.last; !n.Open() && apart >= -5 && apart <= 7 {
				near++
			}
		}
		if near >= 2 {
			c.position = to
			c.left = []int{1, 2, 3, 4, 5, 6, 8}[c.rng.Intn(7)]
			if to == "1" {
				c.left += c.rng.Intn(8)
			}
			return true
		}
	}
	c.left = 3
	return false
}

var (
	sharpNames = []string{"C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B"}
	flatNames  = []string{"C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B"}
)

// spell writes a note's name and value as an engraver would.
func spell(n *piece.Note, fifths int) {
	switch n.Length {
	case 4 * piece.Quarter:
		n.Value = "whole"
	case 3 * piece.Quarter:
		n.Value, n.Dots = "half", 1
	case 2 * piece.Quarter:
		n.Value = "half"
	case piece.Quarter * 3 / 2:
		n.Value, n.Dots = "quarter", 1
	case piece.Quarter:
		n.Value = "quarter"
	case piece.Quarter / 2:
		n.Value = "eighth"
	case piece.Quarter / 3:
		n.Value, n.Tuplet = "eighth", piece.Tuplet{Actual: 3, Normal: 2}
	}
	if n.Rest {
		return
	}
	written := n.MIDI + 12 // a bass part is written an octave above its sound
	names := sharpNames
	if fifths < 0 {
		names = flatNames
	}
	name := names[written%12]
	n.Spelling = piece.Spelling{Step: name[:1], Octave: written/12 - 1}
	switch name[1:] {
	case "#":
		n.Alter = 1
	case "b":
		n.Alter = -1
	}
}
