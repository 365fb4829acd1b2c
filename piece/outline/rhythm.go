package outline

import (
	"fmt"
	"strings"

	"endpin/piece"
	"endpin/piece/words"
)

// valueKey is the end of the message about a note's value.
func valueKey(n *piece.Note) string {
	switch {
	case n.Value == "":
		return "short"
	case n.Dots > 0:
		return "dotted." + n.Value
	}
	return n.Value
}

// newRhythms gives for each measure the rhythms that break the pattern so far,
// in words: what begins within one beat, where that is more than a note on the
// beat, and has not been met in any measure before. The first two measures set
// the pattern.
func newRhythms(p *piece.Piece) [][]words.Linked {
	said := make([][]words.Linked, len(p.Measures))
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
				said[i] = append(said[i], words.Row(c.values...))
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
	key    string
	values []words.Sentence
	plain  bool // one note or rest on the beat, whole beats long
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
	var key []string
	var values []words.Sentence
	plain := true
	at := piece.Ticks(-1)
	flush := func() {
		if len(key) > 0 {
			all = append(all, cell{strings.Join(key, " "), values, plain && len(key) == 1})
		}
		key, values, plain = nil, nil, true
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
		key = append(key, fmt.Sprintf("%d:%d:%t:%t", n.Start%beat, n.Length, n.Rest, tied))
		values = append(values, inCell(n, tied))
		plain = plain && n.Start%beat == 0 && (n.Length%beat == 0 || n.Rest) && !tied
		tied = n.TieToNext
	}
	flush()
	return all
}

// inCell is a note or rest as it stands in a cell: "tied triplet eighth".
func inCell(n *piece.Note, tied bool) words.Sentence {
	value, key := words.Of("outline.cell."+valueKey(n)), "outline.in-cell"
	if tied {
		key += ".tied"
	}
	if n.Tuplet.Actual == 3 {
		key += ".triplet"
	}
	if n.Rest {
		key += ".rest"
	}
	if key == "outline.in-cell" {
		return value
	}
	return words.Of(key, "value", value)
}
