package outline

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"endpin/piece"
)

// Same is a passage that comes again. From is where it stands first, As where
// it comes again.
type Same struct {
	From [2]string `json:"from"`
	As   [2]string `json:"as"`
	How  How       `json:"how"`

	First  Range `json:"-"` // From by index
	Second Range `json:"-"` // As by index
	Differ int   `json:"-"` // measures at the end that differ
	By     int   `json:"-"` // semitones from the first to the second, where transposed
}

// How says how alike two passages are.
type How string

// How a passage comes again.
const (
	Exact         How = "exact"
	EndingDiffers How = "ending differs" // the last measure, or the last two
	Transposed    How = "transposed"
)

// A passage is at least two measures with so many notes; fewer are alike by chance.
const (
	leastMeasures   = 2
	leastNotes      = 4
	leastTransposed = 6
)

// Again finds the passages that come again, in order of where they do. The
// printed measures are compared, so what a repeat sign repeats is no passage
// of its own. Reading from the beginning, at each measure the longest passage
// that stands entirely before it is taken, its earliest place named, and
// reading goes on after it: no measure comes again twice. What has not come
// again so is then read once more by intervals, for what comes transposed.
// Time grows in proportion to the measures.
func Again(p *piece.Piece) []Same {
	n := len(p.Measures)
	count := noteCounts(p)
	words := exactWords(p)
	taken := make([]bool, n)
	all := []Same{}
	take := func(s Same) {
		s.From, s.As = numbers(p, s.First), numbers(p, s.Second)
		for k := s.Second.First; k <= s.Second.Last; k++ {
			taken[k] = true
		}
		all = append(all, s)
	}
	matches := factors(words)
	for m, f := range matches {
		if f.length < leastMeasures || notesIn(count, f.at, f.length) < leastNotes {
			continue
		}
		s := Same{First: Range{f.from, f.from + f.length - 1}, Second: Range{f.at, f.at + f.length - 1}, How: Exact}
		free := n - f.at - f.length
		if m+1 < len(matches) {
			free = matches[m+1].freeBefore(f.at + f.length)
		}
		if e := ending(p, f, free); e > 0 {
			s.First.Last, s.Second.Last, s.How, s.Differ = s.First.Last+e, s.Second.Last+e, EndingDiffers, e
		}
		take(s)
	}
	for _, s := range transposed(p, taken) {
		if notesIn(count, s.Second.First, s.Second.Last-s.Second.First+1) >= leastTransposed {
			take(s)
		}
	}
	slices.SortFunc(all, func(a, b Same) int { return cmp.Compare(a.Second.First, b.Second.First) })
	return all
}

// ending is how many measures that differ still belong to a passage: those that
// fill it up to four measures or a multiple of four, at most two, where both
// places have room for them. Phrases of four measures are common practice, no source.
func ending(p *piece.Piece, f factor, free int) int {
	for e := 1; e <= 2; e++ {
		if (f.length+e)%4 != 0 {
			continue
		}
		if e > free || f.from+f.length+e > f.at {
			return 0
		}
		for k := range e {
			a, b := &p.Measures[f.from+f.length+k], &p.Measures[f.at+f.length+k]
			if a.Length != b.Length || a.RepeatStart != b.RepeatStart && k == 0 || b.Rehearsal != "" {
				return 0
			}
		}
		return e
	}
	return 0
}

// transposed finds what comes again by intervals among the measures not taken.
func transposed(p *piece.Piece, taken []bool) []Same {
	words, first := intervalWords(p)
	var all []Same
	for _, f := range factorsWhere(words, func(at int) bool { return at%2 == 0 && !taken[at/2] }) {
		at, from := f.at/2, f.from/2
		length := (f.length + 1) / 2 // ends within a measure's own word
		for k := range length {
			if taken[at+k] {
				length = k
				break
			}
		}
		if length < leastMeasures || first[at] == 0 || first[from] == 0 {
			continue
		}
		s := Same{First: Range{from, from + length - 1}, Second: Range{at, at + length - 1}, How: Transposed, By: first[at] - first[from]}
		if s.By == 0 {
			s.How = Exact
		}
		all = append(all, s)
	}
	return all
}

func noteCounts(p *piece.Piece) []int {
	sums := make([]int, len(p.Measures)+1)
	for i := range p.Measures {
		sums[i+1] = sums[i]
		for k := range p.Measures[i].Notes {
			if !p.Measures[i].Notes[k].Rest {
				sums[i+1]++
			}
		}
	}
	return sums
}

func notesIn(sums []int, at, length int) int { return sums[at+length] - sums[at] }

// letters gives each text a number of its own.
type letters map[string]int32

func (l letters) of(text string) int32 {
	if _, known := l[text]; !known {
		l[text] = int32(len(l))
	}
	return l[text]
}

// exactWords numbers the measures so that two are alike where their notes,
// slurs and ties are. Pencilled marks are the teacher's and not the music.
func exactWords(p *piece.Piece) []int32 {
	l := letters{}
	words := make([]int32, len(p.Measures))
	for i := range p.Measures {
		words[i] = l.of(spelled(&p.Measures[i], 0))
	}
	return words
}

// intervalWords gives two words a measure: the measure by intervals from its
// first note, and the step from its first note to the next measure's. first is
// each measure's first note, 0 for none.
func intervalWords(p *piece.Piece) (words []int32, first []int) {
	l := letters{}
	first = make([]int, len(p.Measures))
	last := 0
	for i := range p.Measures {
		m := &p.Measures[i]
		for k := range m.Notes {
			if !m.Notes[k].Rest {
				first[i] = m.Notes[k].MIDI
				break
			}
		}
		if i > 0 {
			step := "silent"
			if first[i] != 0 {
				step = fmt.Sprint("step ", first[i]-last)
			}
			words = append(words, l.of(step))
		}
		if first[i] != 0 {
			last = first[i]
		}
		words = append(words, l.of(spelled(m, first[i])))
	}
	return words, first
}

// spelled writes a measure's music out as a text, pitches counted from one of them.
func spelled(m *piece.Measure, from int) string {
	var b strings.Builder
	fmt.Fprint(&b, m.Length)
	for i := range m.Notes {
		n := &m.Notes[i]
		if n.Rest {
			continue // the next note's place tells the rest
		}
		fmt.Fprint(&b, "|", n.Start, ",", n.Length, ",", n.MIDI-from, ",", n.TieToNext, n.SlurFrom, n.Grace)
	}
	return b.String()
}
