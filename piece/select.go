package piece

import (
	"strings"

	"endpin/piece/words"
)

// Select finds a range of printed measures: "21-24", or a single one, "6".
// It gives the first and the last as indexes into Measures, both included. A
// measure that a repeat sign splits in two is taken whole. The error is one
// line that says which measures there are.
func (p *Piece) Select(measures string) (first, last int, err error) {
	from, to := splitRange(measures)
	if from == "" || to == "" {
		return 0, 0, words.Fault("piece.select.no-range", "typed", words.Quoted(measures))
	}
	if p.find(measures, 0) != none { // a token with a dash in it
		from, to = strings.TrimSpace(measures), strings.TrimSpace(measures)
	}
	if first = p.find(from, 0); first == none {
		return 0, 0, p.noMeasure(from)
	}
	if last = p.find(to, first); last == none {
		if p.find(to, 0) != none {
			return 0, 0, words.Fault("piece.select.backwards", "typed", measures, "from", from, "to", to)
		}
		return 0, 0, p.noMeasure(to)
	}
	for last+1 < len(p.Measures) && p.splits(last) {
		last++
	}
	return first, last, nil
}

// splitRange cuts at the dash; a single measure is both ends.
func splitRange(s string) (from, to string) {
	s = strings.ReplaceAll(s, "–", "-")
	from, to, found := strings.Cut(s, "-")
	if !found {
		to = from
	}
	return strings.TrimSpace(from), strings.TrimSpace(to)
}

// find gives the first measure of that number at or after an index, or none.
func (p *Piece) find(number string, after int) int {
	for i := after; i < len(p.Measures); i++ {
		if p.Measures[i].Number == strings.TrimSpace(number) {
			return i
		}
	}
	return none
}

// splits reports whether measure i and the unnumbered one after it are one
// measure, cut by a repeat sign.
func (p *Piece) splits(i int) bool {
	m, next := &p.Measures[i], &p.Measures[i+1]
	whole := m.Time.Beat() * Ticks(m.Time.Beats)
	return next.Implicit && whole > 0 && m.Length+next.Length <= whole
}

func (p *Piece) noMeasure(number string) error {
	if len(p.Measures) == 0 {
		return words.Fault("piece.select.empty", "number", number)
	}
	last := len(p.Measures) - 1
	for last > 0 && p.Measures[last].Implicit {
		last--
	}
	return words.Fault("piece.select.absent", "number", number,
		"first", p.Measures[0].Number, "last", p.Measures[last].Number)
}
