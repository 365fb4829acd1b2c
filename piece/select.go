package piece

import (
	"fmt"
	"strings"
)

// Select finds a range of printed measures: "21-24", or a single one, "6".
// It gives the first and the last as indexes into Measures, both included. A
// measure that a repeat sign splits in two is taken whole. The error is one
// line that says which measures there are.
func (p *Piece) Select(measures string) (first, last int, err error) {
	from, to := splitRange(measures)
	if from == "" || to == "" {
		return 0, 0, fmt.Errorf("measures %q: write a range such as 21-24, or one measure such as 6", measures)
	}
	if p.find(measures, 0) != none { // a token with a dash in it
		from, to = strings.TrimSpace(measures), strings.TrimSpace(measures)
	}
	if first = p.find(from, 0); first == none {
		return 0, 0, p.noMeasure(from)
	}
	if last = p.find(to, first); last == none {
		if p.find(to, 0) != none {
			return 0, 0, fmt.Errorf("measures %s: measure %s comes before measure %s: write the first one first", measures, to, from)
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
		return fmt.Errorf("measure %s: the piece has no measures", number)
	}
	last := len(p.Measures) - 1
	for last > 0 && p.Measures[last].Implicit {
		last--
	}
	return fmt.Errorf("measure %s does not exist: the piece has measures %s to %s",
		number, p.Measures[0].Number, p.Measures[last].Number)
}
