package writing

import (
	"slices"
	"strconv"

	"endpin/piece"
)

// Note is one note of the line, in order of Start and with no two at once. What lies
// between two of them is rest.
type Note struct {
	Start, Length piece.Ticks // from the beginning of the first measure, which a pickup fills from its end
	MIDI          int         // as it sounds
	piece.Spelling
	SlurFrom    bool // on the bow of the note before
	Marks       piece.Marks
	Articulated piece.Articulation
}

// Staff is where an instrument's notes stand.
type Staff struct {
	Part       string
	Clef       piece.Clef
	Transposed int // how far it sounds from where it is written, semitones
}

// Frame is what holds for the whole page.
type Frame struct {
	Title string
	Time  piece.Time
	Key   piece.Key
	QPM   float64 // quarter notes a minute; 0 for no mark
	Staff Staff

	On    bool        // it goes on from another page: its first measure is whole, whatever stands there
	Until piece.Ticks // where it ends, be it in the midst of a measure; 0 for with the measure of the last note
}

// Page sets the line on a page. A first measure whose beginning is empty becomes a pickup.
func Page(line []Note, f Frame) *piece.Piece {
	p := &piece.Piece{Title: f.Title, Part: f.Staff.Part, Transposed: f.Staff.Transposed}
	bar := f.Time.Beat() * piece.Ticks(f.Time.Beats)
	end := piece.Ticks(0)
	if k := len(line) - 1; k >= 0 {
		end = line[k].Start + line[k].Length
	}
	from, number := piece.Ticks(0), 1
	if len(line) > 0 && !f.On {
		from = line[0].Start / bar * bar
		if line[0].Start > from {
			number = 0
		}
	}
	until := max(end, from+bar)
	if f.Until > 0 {
		until = f.Until
	}
	for at := from; at < until; at += bar {
		begin, ends := at, at+bar
		if f.Until > 0 {
			ends = min(ends, f.Until)
		}
		if number == 0 {
			begin = line[0].Start
		}
		m := piece.Measure{Number: strconv.Itoa(number), Length: ends - begin, Implicit: number == 0, Time: f.Time, Key: f.Key, Clef: f.Staff.Clef}
		m.Notes = measure(line, at, begin, ends, f)
		p.Measures = append(p.Measures, m)
		number++
	}
	if len(p.Measures) > 0 {
		if f.QPM > 0 {
			p.Measures[0].Tempos = []piece.Tempo{{QPM: f.QPM}}
		}
		p.Measures[len(p.Measures)-1].DoubleBar = true
	}
	return p
}

// measure sets what of the line lies from one place to another of a measure, which if it
// were whole would begin at begin.
func measure(line []Note, begin, from, to piece.Ticks, f Frame) (notes []piece.Note) {
	at := from
	rest := func(until piece.Ticks) {
		for _, sign := range Signs(at-begin, until-begin, f.Time, true) {
			sign.Start = at - from
			notes = append(notes, sign)
			at += sign.Length
		}
	}
	if !slices.ContainsFunc(line, func(n Note) bool { return n.Start < to && n.Start+n.Length > from }) {
		return []piece.Note{{Length: to - from, Rest: true, Value: "whole"}}
	}
	for i, n := range line {
		begins, ends := max(n.Start, from), min(n.Start+n.Length, to)
		if begins >= ends {
			continue
		}
		rest(begins)
		for at < ends {
			_, sign := longest(at-begin, ends-begin, f.Time, false)
			sign.Start, sign.MIDI, sign.Spelling = at-from, n.MIDI, n.Spelling
			if at == n.Start {
				sign.SlurFrom, sign.Marks = n.SlurFrom, n.Marks
				sign.Articulated = n.Articulated
			} else {
				sign.SlurFrom = n.SlurFrom || i+1 < len(line) && line[i+1].SlurFrom && line[i+1].Start == n.Start+n.Length
			}
			at += sign.Length
			sign.TieToNext = at < n.Start+n.Length
			sign.SlurTo = i+1 < len(line) && line[i+1].SlurFrom && line[i+1].Start == n.Start+n.Length
			notes = append(notes, sign)
		}
	}
	rest(to)
	Beams(notes, from-begin, f.Time)
	Accidentals(notes, f.Key, slices.ContainsFunc(line, func(n Note) bool { return n.Start < from && n.Start+n.Length > from }))
	return notes
}

// Signs are the notes, or rests, that say what lies between two places of a whole measure
// so that the beat is seen.
func Signs(from, until piece.Ticks, t piece.Time, rest bool) (notes []piece.Note) {
	for from < until {
		ends, sign := longest(from, until, t, rest)
		sign.Rest = rest
		notes = append(notes, sign)
		from = ends
	}
	return notes
}

// Values are the signs for lengths that a page is written in, the longest first.
var Values = []string{"whole", "half", "quarter", "eighth", "16th", "32nd"}

// plain is the smallest step of places that no triplet makes.
const plain = piece.Quarter / 8

// longest is the longest sign that begins at a place of the measure and ends by another
// one, without hiding a beat that a reader wants to see.
func longest(at, until piece.Ticks, t piece.Time, rest bool) (ends piece.Ticks, n piece.Note) {
	beat := t.Counted()
	tuplet := piece.Tuplet{}
	switch lastBeat := until / beat * beat; {
	case at%plain != 0:
		tuplet, until = piece.Tuplet{Actual: 3, Normal: 2}, min(until, (at/beat+1)*beat)
	case until%plain != 0 && at < lastBeat:
		until = lastBeat
	case until%plain != 0:
		tuplet = piece.Tuplet{Actual: 3, Normal: 2}
	}
	for _, v := range Values {
		for dots := 1; dots >= 0; dots-- {
			length := piece.ValueLength(v)
			if dots == 1 {
				length = length * 3 / 2
			}
			if tuplet.Actual > 0 {
				length = length * 2 / 3
			}
			if (tuplet.Actual == 0 || dots == 0) && at+length <= until && readable(at, at+length, t, beat, rest) {
				return at + length, piece.Note{Length: length, Value: v, Dots: dots, Tuplet: tuplet}
			}
		}
	}
	return until, piece.Note{Length: until - at} // beyond every sign: its length alone
}

// readable tells whether one sign may say what lies between two places: it begins on a
// beat, or crosses none; a quarter between two halves of beats is as usual as a dotted
// note before its short one.
func readable(from, to piece.Ticks, t piece.Time, beat piece.Ticks, rest bool) bool {
	crosses := from/beat != (to-1)/beat
	switch {
	case !crosses:
		return true
	case from%beat == 0 && !rest:
		return true
	case from%beat == 0: // a rest does not hide the middle of the measure
		half := t.Beat() * piece.Ticks(t.Beats) / 2
		return (to-from)%beat == 0 && (t.Beats%2 == 1 || from%half == 0 || from/half == (to-1)/half) && (to-from != 3*beat || from == 0)
	case rest:
		return false
	}
	return beat == piece.Quarter && from%(beat/2) == 0 && to-from == beat
}

// Beams joins the short notes of a beat. offset is where in a whole measure the notes begin.
func Beams(notes []piece.Note, offset piece.Ticks, t piece.Time) {
	beat := t.Counted()
	short := func(n piece.Note) bool {
		return !n.Rest && (n.Value == "eighth" || n.Value == "16th" || n.Value == "32nd")
	}
	for i := 0; i < len(notes); {
		j := i
		for j < len(notes) && short(notes[j]) && (offset+notes[j].Start)/beat == (offset+notes[i].Start)/beat {
			j++
		}
		if j-i > 1 {
			for k := i; k < j; k++ {
				notes[k].Beam = "continue"
			}
			notes[i].Beam, notes[j-1].Beam = "begin", "end"
		}
		i = max(j, i+1)
	}
}

// Accidentals prints what the signature and the measure so far do not say. The first note
// needs none where it is tied from the measure before.
func Accidentals(notes []piece.Note, key piece.Key, tied bool) {
	names := map[int]string{-2: "flat-flat", -1: "flat", 0: "natural", 1: "sharp", 2: "double-sharp"}
	type place struct {
		step   string
		octave int
	}
	said := map[place]int{}
	for i := range notes {
		n := &notes[i]
		if n.Rest {
			continue
		}
		at := place{n.Step, n.Octave}
		now, ok := said[at]
		if !ok {
			now = key.Of(n.Step)
		}
		tiedOn := i == 0 && tied || i > 0 && notes[i-1].TieToNext && notes[i-1].MIDI == n.MIDI
		if n.Alter != now && !tiedOn {
			n.Accidental = names[n.Alter]
		}
		said[at] = n.Alter
	}
}
