package outline

import (
	"fmt"
	"strings"

	"endpin/piece"
)

// values names the shortest notes of a measure: "eighth notes".
func values(m *piece.Measure) string {
	var shortest *piece.Note
	for i := range m.Notes {
		n := &m.Notes[i]
		if !n.Rest && !n.Grace && n.Length > 0 && (shortest == nil || n.Length < shortest.Length) {
			shortest = n
		}
	}
	if shortest == nil {
		return "notes"
	}
	if shortest.Tuplet.Actual == 3 {
		return "triplets"
	}
	if shortest.Tuplet.Actual > 0 {
		return fmt.Sprintf("groups of %d", shortest.Tuplet.Actual)
	}
	return valueWords(shortest.Value, shortest.Dots) + " notes"
}

func valueWords(value string, dots int) string {
	words := map[string]string{"16th": "sixteenth", "32nd": "thirty-second", "64th": "sixty-fourth"}
	if w := words[value]; w != "" {
		value = w
	}
	if value == "" {
		return "short"
	}
	return strings.Repeat("dotted ", min(dots, 1)) + value
}

// newRhythms gives for each measure the rhythms that break the pattern so far,
// in words: what begins within one beat, where that is more than a note on the
// beat, and has not been met in any measure before. The first two measures set
// the pattern.
func newRhythms(p *piece.Piece) [][]string {
	said := make([][]string, len(p.Measures))
	met := map[string]bool{}
	filled := 0
	for i := range p.Measures {
		m := &p.Measures[i]
		sounding := false
		for _, c := range cells(m) {
			sounding = true
			if c.plain || met[c.key] {
				continue
			}
			met[c.key] = true
			if filled >= 2 {
				said[i] = append(said[i], c.words)
			}
		}
		if sounding {
			filled++
		}
	}
	return said
}

// cell is what begins within one beat.
type cell struct {
	key, words string
	plain      bool // one note or rest on the beat, whole beats long
}

func cells(m *piece.Measure) []cell {
	beat := m.Time.Beat()
	if m.Time.Unit == 8 && m.Time.Beats%3 == 0 {
		beat *= 3 // the dotted quarter is felt
	}
	if beat <= 0 {
		return nil
	}
	var all []cell
	var key, words []string
	plain := true
	at := piece.Ticks(-1)
	flush := func() {
		if len(key) > 0 {
			all = append(all, cell{strings.Join(key, " "), strings.Join(words, ", "), plain && len(key) == 1})
		}
		key, words, plain = nil, nil, true
	}
	tied := false
	for i := range m.Notes {
		n := &m.Notes[i]
		if n.Grace || n.Length == 0 {
			continue
		}
		if n.Start/beat != at {
			flush()
			at = n.Start / beat
		}
		word := valueWords(n.Value, n.Dots)
		if n.Tuplet.Actual == 3 {
			word = "triplet " + word
		}
		if n.Rest {
			word += " rest"
		}
		if tied {
			word = "tied " + word
		}
		key = append(key, fmt.Sprintf("%d:%d:%t:%t", n.Start%beat, n.Length, n.Rest, tied))
		words = append(words, word)
		plain = plain && n.Start%beat == 0 && (n.Length%beat == 0 || n.Rest) && !tied
		tied = n.TieToNext
	}
	flush()
	return all
}
