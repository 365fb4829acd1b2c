package piece

import (
	"slices"

	"endpin/piece/words"
)

// MaxPlayed is the longest line that Endpin plays out, in measures: more than
// a day of music, so that only a mistaken or hostile file meets it.
const MaxPlayed = 20000

// MaxNotes is the most notes and rests that a line played out may hold.
const MaxNotes = 100000

// Unfold gives the measures in the order in which they are played: repeats,
// endings, da capo, dal segno, fine and coda. After a jump, repeats are not
// taken again and each ending is the last one (common practice, no source).
//
// The error is for a piece whose repeats grow beyond MaxPlayed measures or
// MaxNotes notes; the measures up to there are returned with it.
func (p *Piece) Unfold() ([]PlayedMeasure, error) {
	w := walk{
		measures: p.Measures,
		form:     formOf(p.Measures),
		passes:   make([]int, len(p.Measures)),
		jumped:   make([]bool, len(p.Measures)),
	}
	w.startRounds()
	var onset Ticks
	var played []PlayedMeasure
	notes := 0
	for i := 0; i != none && i < len(p.Measures); {
		if !w.plays(i) {
			i = w.pass(i)
			continue
		}
		notes += len(p.Measures[i].Notes)
		if len(played) == MaxPlayed || notes > MaxNotes {
			return played, words.Fault("piece.too-long", "measures", MaxPlayed, "notes", MaxNotes)
		}
		w.passes[i]++
		played = append(played, PlayedMeasure{Measure: i, Pass: w.passes[i], Onset: onset})
		onset += p.Measures[i].Length
		i = w.after(i)
	}
	return played, nil
}

// walk is a player's way through the piece.
type walk struct {
	measures []Measure
	form     form
	round    []int  // by repeat: the round being played, from 1
	passes   []int  // by measure: how often it has been played
	jumped   []bool // by measure: its jump has been taken

	back     bool // a jump has been taken: fine holds
	toCoda   bool // and so does to coda, once
	again    bool // the music played now has been played before the jump
	jumpedAt int  // the measure that the last jump was taken from
}

func (w *walk) startRounds() {
	w.round = make([]int, len(w.form.repeats))
	for i := range w.round {
		w.round[i] = 1
	}
}

// plays reports whether measure i is played now; another ending may be due.
func (w *walk) plays(i int) bool {
	r := w.form.ending[i]
	if r == none {
		return true
	}
	round := w.round[r]
	if w.again {
		round = w.form.repeats[r].rounds
	}
	due := w.form.repeats[r].ending(round)
	return due > 0 && slices.Contains(w.measures[i].Endings, due)
}

// after gives the measure played after measure i, or none at the end.
func (w *walk) after(i int) int {
	m := &w.measures[i]
	if r := w.form.sign[i]; r != none && !w.again && w.round[r] < w.form.repeats[r].rounds {
		w.round[r]++
		return w.form.repeats[r].from
	}
	if w.back && m.Fine {
		return none
	}
	if w.toCoda && m.ToCoda {
		if coda := w.coda(i); coda != none {
			w.again, w.toCoda = false, false
			return coda
		}
	}
	if m.Jump != NoJump && !w.jumped[i] {
		w.jumped[i], w.jumpedAt = true, i
		w.back, w.toCoda, w.again = true, true, true
		w.startRounds()
		if m.Jump == DalSegno {
			return w.segno(i)
		}
		return 0
	}
	return w.pass(i)
}

// pass steps over the end of measure i, out of any repeat that ends there.
func (w *walk) pass(i int) int {
	if w.again && i >= w.jumpedAt && (w.form.ending[i] == none || w.form.last[i] != none) {
		w.again = false
	}
	if r := w.form.last[i]; r != none {
		w.round[r] = 1
	}
	return i + 1
}

// coda finds the coda sign that a player at measure i jumps to.
func (w *walk) coda(i int) int {
	for j := i + 1; j < len(w.measures); j++ {
		if w.measures[j].Coda {
			return j
		}
	}
	return none
}

// segno finds the sign before the end of measure i; without one the beginning.
func (w *walk) segno(i int) int {
	for j := i; j >= 0; j-- {
		if w.measures[j].Segno {
			return j
		}
	}
	return 0
}
