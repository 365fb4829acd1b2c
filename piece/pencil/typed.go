package pencil

import (
	"slices"
	"strconv"
	"strings"

	"endpin/piece"
	"endpin/piece/notation"
	"endpin/piece/words"
)

// Typed makes a mark as it is typed: a place and what goes there, "no" before what is taken
// away. names are those of the strings, the highest first.
//
//	5.3 4 D III up     the third note of measure 5: finger, string, position, bow
//	9 section B        a section begins
//	9 repeat-start     and so repeat-end
//	9 text Sing it     a line of words
func (p *Pencil) Typed(mark string, names []string) error {
	said := strings.Fields(mark)
	if len(said) < 2 {
		return wrong(mark, names)
	}
	number, nth, note := strings.Cut(said[0], ".")
	i, _, err := p.Piece.Select(number)
	if err != nil {
		return err
	}
	if !note {
		return p.typedSign(mark, i, said[1:], names)
	}
	at, err := p.nth(i, nth)
	if err != nil {
		return err
	}
	m := p.Piece.Measures[at.Measure].Notes[at.Note].Marks
	for k := 1; k < len(said); k++ {
		word := said[k]
		if word == "no" && k+1 < len(said) {
			k++
			switch said[k] {
			case "finger":
				m.Finger = ""
			case "string":
				m.String = 0
			case "position":
				m.Position = ""
			case "bow":
				m.Bow = piece.NoBow
			default:
				return wrong(mark, names)
			}
			continue
		}
		row := slices.Index(names, word)
		position := piece.PositionOf(word)
		if word == "half" || word == "thumb" {
			position = word
		}
		switch {
		case word == "up" || word == "down":
			m.Bow = piece.Bow(word)
		case slices.Contains([]string{"0", "1", "2", "3", "4", "T"}, word):
			m.Finger = word
		case row >= 0:
			m.String = row + 1
		case position != "":
			m.Position = position
		default:
			return wrong(mark, names)
		}
	}
	return p.Note(at, m)
}

// typedSign makes a sign over a measure.
func (p *Pencil) typedSign(mark string, measure int, said, names []string) error {
	s := notation.SignsOf(&p.Piece.Measures[measure])
	set := said[0] != "no"
	if !set {
		said = said[1:]
	}
	switch what := strings.Join(said, " "); {
	case what == "repeat-start":
		s.RepeatStart = set
	case what == "repeat-end":
		s.RepeatEnd = set
	case what == "section" && !set:
		s.Rehearsal = ""
	case what == "text" && !set:
		s.Text = ""
	case set && len(said) > 1 && said[0] == "text":
		s.Text = strings.Join(said[1:], " ")
	case set && len(said) > 1 && said[0] == "section":
		s.Rehearsal = strings.Join(said[1:], " ")
	default:
		return wrong(mark, names)
	}
	return p.Measure(measure, s)
}

// nth is the nth note of a measure, counted from 1, without rests.
func (p *Pencil) nth(measure int, nth string) (piece.At, error) {
	m := &p.Piece.Measures[measure]
	n, err := strconv.Atoi(nth)
	count := 0
	for k := range m.Notes {
		if m.Notes[k].Rest {
			continue
		}
		if count++; count == n && err == nil {
			return piece.At{Measure: measure, Note: k}, nil
		}
	}
	return piece.At{}, words.Fault("pencil.no-note", "typed", words.QuotedHead(nth, 20), "measure", m.Number, "notes", count)
}

func wrong(mark string, names []string) error {
	return words.Fault("pencil.typed", "typed", words.QuotedHead(mark, 80), "strings", words.Row(names...))
}
