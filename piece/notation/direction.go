package notation

import (
	"math"
	"regexp"
	"strconv"
	"strings"

	"endpin/piece"
	"endpin/piece/outside"
)

// direction reads a <direction>: words, signs, tempo and the sounds it names.
func (r *measureReader) direction(k *element) {
	if s := k.number("staff", 1); s > 1 {
		return
	}
	at := r.pos
	if o, err := strconv.ParseFloat(k.of("offset"), 64); err == nil && math.Abs(o) < 1e6 {
		at = min(max(0, at+o*float64(piece.Quarter)/r.divisions), maxTicks)
	}
	sound := k.child("sound")
	var words []*element
	for _, dt := range k.all("direction-type") {
		for _, x := range dt.kids {
			switch x.name {
			case "words":
				words = append(words, x)
			case "dynamics":
				for _, mark := range x.kids {
					if text := mark.name; piece.IsLoudness(text) {
						r.instruct(instruction{loud: text}, at, nil)
					}
				}
			case "rehearsal":
				r.m.Rehearsal = short(x.value())
			case "segno":
				r.segno = at
			case "coda":
				if sound.attr("tocoda") == "" && sound.attr("coda") == "" {
					r.codaAt(at)
				}
			case "metronome":
				if sound.attr("tempo") == "" {
					r.tempo(metronome(x), at)
				}
			}
		}
	}
	r.words(words, at)
	if sound != nil {
		r.sound(sound, at)
	}
}

// words reads the words of one direction, together and each for itself. What is only to be
// read, or is printed nowhere else, is a line of text.
func (r *measureReader) words(words []*element, at float64) {
	if whole := wordsOf(valuesOf(words)); len(words) > 1 && r.instruct(whole, at, nil) {
		if whole.flow != nil {
			r.text(valuesOf(words), at, words...)
		}
		return
	}
	var text []*element
	for _, w := range words {
		if i := wordsOf(w.value()); !r.instruct(i, at, w) || i.flow != nil {
			text = append(text, w)
		}
	}
	r.text(valuesOf(text), at, text...)
}

// valuesOf is the text of elements, one behind the other.
func valuesOf(all []*element) string {
	var said []string
	for _, e := range all {
		said = append(said, e.value())
	}
	return strings.Join(said, " ")
}

// text takes a line of words over the staff.
func (r *builder) text(says string, at float64, from ...*element) {
	if says = lineOf(says); says != "" && len(r.m.texts) < maxMarks {
		r.m.texts = append(r.m.texts, lineOfText{piece.Text{At: ticks(at), Says: says}, from})
	}
}

// longestText is how many characters of a line over the staff are read.
const longestText = 120

func lineOf(says string) string { return outside.Short(says, longestText) }

// maxMarks is the most marks over the notes of one measure.
const maxMarks = 1000

// instruct carries out an instruction, which from holds where that is MusicXML; it reports
// whether there was one.
func (r *builder) instruct(i instruction, at float64, from *element) bool {
	m := r.m
	switch {
	case i.jump != piece.NoJump:
		m.Jump = i.jump
	case i.fine:
		m.Fine = true
	case i.toCoda:
		m.ToCoda = true
		// The sign drawn beside the words is the same instruction.
		if n := len(r.codas); n > 0 && r.codas[n-1].measure == len(r.measures) {
			r.codas = r.codas[:n-1]
		}
	case i.coda:
		r.coda = at
	case len(m.pizz)+len(m.marks)+len(m.loud) > maxMarks:
		return false
	case i.loud != "":
		m.loud = append(m.loud, loud{ticks(at), i.loud})
	case i.pizz, i.arco:
		m.pizz = append(m.pizz, pizzEvent{ticks(at), i.pizz})
	case i.flow != nil:
		if len(m.Flows) < maxMarks {
			m.Flows = append(m.Flows, piece.Flow{At: ticks(at), Free: *i.flow})
		}
	case i.mark != nil:
		m.marks = append(m.marks, pending{ticks(at), i.mark, from})
	default:
		return false
	}
	return true
}

// sound reads the instructions for playing that a <sound> holds.
func (r *measureReader) sound(s *element, at float64) {
	m := r.m
	if s.attr("dacapo") == "yes" {
		m.Jump = piece.DaCapo
	}
	if s.attr("dalsegno") != "" {
		m.Jump = piece.DalSegno
	}
	if s.attr("tocoda") != "" {
		m.ToCoda = true
	}
	if f := s.attr("fine"); f != "" && f != "no" {
		m.Fine = true
	}
	if s.attr("segno") != "" {
		r.segno = at
	}
	if s.attr("coda") != "" {
		r.coda = at
	}
	if s.attr("forward-repeat") == "yes" {
		m.RepeatStart = true
	}
	if p := s.attr("pizzicato"); p == "yes" || p == "no" {
		r.instruct(instruction{pizz: p == "yes", arco: p == "no"}, at, nil)
	}
	if t, err := strconv.ParseFloat(s.attr("tempo"), 64); err == nil {
		r.tempo(t, at)
	}
}

// tempo takes a tempo that music can have, in quarter notes a minute.
func (r *builder) tempo(qpm, at float64) {
	if qpm >= 5 && qpm <= 1000 && len(r.m.Tempos) < maxMarks {
		r.m.Tempos = append(r.m.Tempos, piece.Tempo{At: ticks(at), QPM: qpm})
	}
}

var firstNumber = regexp.MustCompile(`[0-9]+(?:\.[0-9]+)?`)

// metronome reads a metronome mark in quarter notes a minute; 0 for one that
// sets note values equal.
func metronome(x *element) float64 {
	units := x.all("beat-unit")
	if len(units) != 1 {
		return 0
	}
	perMinute, err := strconv.ParseFloat(firstNumber.FindString(x.of("per-minute")), 64)
	if err != nil {
		return 0
	}
	unit := piece.ValueLength(units[0].value()).Quarters()
	return perMinute * unit * (2 - math.Pow(0.5, float64(min(len(x.all("beat-unit-dot")), 4))))
}
